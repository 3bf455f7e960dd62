/** A table of GitHub's Markdown. Cells are Markdown already: what comes from a book is escaped before (`escapeMd`). */
export type MdAlign = '---' | '--:';

export const mdTable = (
  head: readonly string[],
  rows: readonly (readonly string[])[],
  align: readonly MdAlign[],
): string =>
  [head, align, ...rows].map((row) => `| ${row.map((cell) => cell.replaceAll('\n', ' ')).join(' | ')} |`).join('\n');
