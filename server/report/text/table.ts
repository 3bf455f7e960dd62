/** Aligned columns for a terminal. */

export type Align = 'left' | 'right';

/** Rows as lines; numbers are right-aligned where the column says so. Width counts code points, which is near enough for a terminal. */
export function table(rows: readonly (readonly string[])[], align: readonly Align[] = [], indent = '  '): string {
  const widths: number[] = [];
  for (const row of rows)
    row.forEach((cell, index) => {
      widths[index] = Math.max(widths[index] ?? 0, widthOf(cell));
    });
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
  const units = width + cell.length - widthOf(cell);
  return align === 'right' ? cell.padStart(units) : cell.padEnd(units);
}

const widthOf = (cell: string): number => (PAIR.test(cell) ? [...cell].length : cell.length);
const PAIR = /[\ud800-\udbff]/;
