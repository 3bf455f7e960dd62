/**
 * A key in a formula while the book is compared with its last commit: what the lines above the formulas of that file cost, against
 * comparing both versions of the book anew. In books of several sizes and with changes of several sizes, in one process.
 *
 *   npx tsx tests/bench/since.ts [keys]
 */
import { Book } from '../../server/book/book.ts';
import { review } from '../../server/review/review.ts';
import { Since } from '../../server/review/since.ts';
import type { Version } from '../../server/review/versions.ts';
import { pourForm } from './library.ts';
import { interleaved, median, ratio } from './rounds.ts';

const KEYS = Number(process.argv[2] ?? 15);
const PER_FILE = 100;

const version = (label: string, book: Book): Version => ({
  label,
  commit: null,
  book,
  beside: new Map(),
  placeOf: (cell) => ({ file: cell.file.uri, line: cell.file.lineOf(cell.file.indexOf(cell)) + 1 }),
});

/** The book, an earlier version of it that shares what it can, and what is compared; so many formulas differ. */
function made(count: number, changed: number) {
  const { files, main } = pourForm(count, PER_FILE);
  const now = new Book();
  const every = Math.floor(count / changed);
  for (const [name, text] of Object.entries(files)) now.setFile(name, text);
  now.loaded.set(true);
  const before = performance.now();
  const old = new Book();
  for (const file of now.files.values()) old.copyFile(file);
  old.loaded.set(true);
  const since = new Since(version('HEAD', old), version('now', now));
  for (const [index, cell] of [...now.ofKind('formula')].entries())
    if (index % every === 0 && index / every < changed)
      old.setFile(
        cell.file.uri,
        old.files
          .get(cell.file.uri)!
          .text.replace(idLine(cell.slice.text), (line) => `${line} # was`)
          .replace(toner(cell.slice.text), `${toner(cell.slice.text)}1`),
      );
  since.all();
  return { main, now, since, taken: performance.now() - before };
}

const idLine = (text: string): string => text.trimStart().split('\n')[0]!;
const toner = (text: string): string => text.split('\n').findLast((line) => line.startsWith('  toner'))!;

let turn = 0;

function key({ now, since, main }: ReturnType<typeof made>): void {
  const file = now.files.get(main)!;
  const index = file.cells.findLastIndex(({ entry }) => entry.kind === 'formula');
  const { text } = file.cells[index]!.slice;
  const at = text.indexOf('  toner') + '  toner T-00 1'.length;
  const [start, end] = [file.positionOf(index, at), file.positionOf(index, at + 1)];
  now.editFile(main, { range: { start, end }, text: String(turn++ % 10) });
  for (const cell of file.cells) if (cell.entry.kind === 'formula') since.formula(cell);
}

const anew = ({ since }: ReturnType<typeof made>): void => {
  review(since.versions);
};

const cases = {
  '1 differs of 1,000': made(1_000, 1),
  '1 differs of 10,000': made(10_000, 1),
  '500 differ of 10,000': made(10_000, 500),
};
const times = interleaved(
  Object.fromEntries(
    Object.entries(cases).flatMap(([name, one]) => [
      [name, () => key(one)],
      [`${name}, anew`, () => anew(one)],
    ]),
  ),
  KEYS,
);
console.log(
  'A key and the lines above the formulas of its file (100), medians; beside it both versions compared anew:',
);
for (const [name, { taken }] of Object.entries(cases))
  console.log(
    `  ${name}: ${median(times[name]!.rounds).toFixed(2)} ms, anew ${median(times[`${name}, anew`]!.rounds).toFixed(0)} ms; taken over and compared once in ${taken.toFixed(0)} ms`,
  );
const book = ratio(times['1 differs of 10,000']!, times['1 differs of 1,000']!);
const change = ratio(times['500 differ of 10,000']!, times['1 differs of 10,000']!);
console.log(`Ten times the book: ${book.toFixed(1)} times; 500 times the change: ${change.toFixed(1)} times.`);
console.log('Wanted: at most 2 times for ten times the book.');
process.exitCode = book <= 2 ? 0 : 1;
