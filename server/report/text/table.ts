/** Aligned columns for a terminal. */

export type Align = 'left' | 'right';

/** Rows as lines; numbers are right-aligned where the column says so. Width counts code points, which is near enough for a terminal. */
export function table(rows: readonly (readonly string[])[], align: readonly Align[] = [], indent = '  '): string {
  const widths: number[] = [];
  for (const row of rows) {
    for (const [index, cell] of row.entries()) widths[index] = Math.max(widths[index] ?? 0, [...cell].length);
  }
  return rows
    .map(
      (row) =>
        indent +
        row
          .map((cell, index) => pad(cell, widths[index]!, align[index] ?? 'left'))
          .join('  ')
          .trimEnd(),
    )
    .join('\n');
}

function pad(cell: string, width: number, align: Align): string {
  const blanks = ' '.repeat(Math.max(0, width - [...cell].length));
  return align === 'right' ? blanks + cell : cell + blanks;
}
