/** Findings of a small book as tests read them: the code and the text that is marked. */
import type { Finding } from '../../../grammar/finding.ts';
import { Book } from '../../../server/book/book.ts';
import type { EntryCell } from '../../../server/book/cell.ts';
import { findingsIn } from '../../../server/book/findings.ts';

export interface Marked {
  readonly code: string;
  readonly marked: string;
}

/** Texts by the file's name; a text alone is `book.pour`. Names that do not end in .pour are open-format files that readings name. */
export type Files = string | Readonly<Record<string, string>>;

const FOLDER = 'file:///book/';

export function bookOf(files: Files): Book {
  const book = new Book();
  for (const [name, text] of Object.entries(typeof files === 'string' ? { 'book.pour': files } : files)) {
    if (name.endsWith('.pour')) book.setFile(FOLDER + name, text);
    else book.setImportedFile(FOLDER + name, new TextEncoder().encode(text));
  }
  book.loaded.set(true);
  return book;
}

export interface Found extends Finding {
  readonly cell: EntryCell;
  readonly marked: string;
}

/** Every finding of the book, in the order of its files and lines. */
export function foundIn(files: Files): Found[] {
  const book = bookOf(files);
  return [...book.files.keys()]
    .sort()
    .flatMap((uri) => book.files.get(uri)!.cells)
    .flatMap((cell) =>
      findingsIn(book, cell).map((finding) => ({
        ...finding,
        cell,
        marked: cell.slice.text.slice(finding.from, finding.to),
      })),
    );
}

/** Code and marked text of every finding; with codes named, of those only. */
export function findingsFor(files: Files, ...codes: readonly string[]): Marked[] {
  return foundIn(files)
    .filter(({ code }) => codes.length === 0 || codes.includes(code))
    .map(({ code, marked }) => ({ code, marked }));
}

/** The text after a fix of the first finding with this code; fixes are named by their place in the list. */
export function fixedBy(text: string, code: string, which = 0): string {
  const found = foundIn(text).find((one) => one.code === code);
  const fix = found?.fixes?.[which];
  if (!found || !fix) throw new Error(`no fix for ${code}`);
  const { cell } = found;
  const start = cell.file.offsetOf(cell.file.indexOf(cell));
  return [...fix.edits]
    .sort((a, b) => b.from - a.from)
    .reduce((now, edit) => now.slice(0, start + edit.from) + edit.text + now.slice(start + edit.to), text);
}
