/** The fits of a book on the command line: from optics.lock where it is up to date, else learned at once. */
import { existsSync } from 'node:fs';
import { readFile, writeFile } from 'node:fs/promises';
import { join, resolve } from 'node:path';
import type { Book } from '../book/book.ts';
import { formulaIn } from '../book/known.ts';
import { hidingCells, settleHiding } from '../book/optics/hiding.ts';
import { LOCK_NAME, lockText, readLock } from '../book/optics/lock.ts';
import { fitsOf, learnBook, putFits, unlearnedSamples } from '../book/optics/optics.ts';
import { loadBook } from './load.ts';
import type { Output } from './verb.ts';

/** The book with what it knows of its toners. */
export async function loadBookWithOptics(output: Output, folder: string): Promise<Book> {
  const root = resolve(output.folder, folder);
  const book = await loadBook(root);
  await putOptics(output, root, book);
  return book;
}

/** Puts what is known of its toners into a book that was read from a folder; learning them may take seconds. */
export async function putOptics(output: Output, root: string, book: Book): Promise<void> {
  const written = await readFile(join(root, LOCK_NAME), 'utf8').catch(() => undefined);
  if (written !== undefined) putFits(book, readLock(written));
  const open = unlearnedSamples(book);
  if (open.length === 0) return;
  const what = open.map(({ system, side }) => `${system} ${side}`.trim()).join(', ');
  const since = performance.now();
  learnBook(book, ({ system, side }, reason) =>
    output.err(`The toners${system ? ` of ${system}` : ''} (${side} colours) could not be learned: ${reason}.`),
  );
  const seconds = ((performance.now() - since) / 1000).toFixed(1);
  const why = written === undefined ? `there is no ${LOCK_NAME}` : `${LOCK_NAME} is of other cards`;
  output.err(`The toners were learned anew (${what}; ${seconds} s), since ${why}. Write it with: pourbook fit --write`);
}

/** Writes the fits beside the book; returns where. */
export async function writeLock(output: Output, folder: string, book: Book): Promise<string> {
  const path = join(resolve(output.folder, folder), LOCK_NAME);
  await writeFile(path, lockText(fitsOf(book)));
  return path;
}

/** What is expected of a prediction. */
const PREDICTED = new Set(['predicted', 'coats', 'grey']);

/**
 * Puts in what the checks read of predictions, where the book asks for it: it keeps an optics.lock, or expects something of a
 * prediction. Any other book is checked without learning its toners first, which takes seconds.
 */
export async function putPredictions(output: Output, root: string, book: Book): Promise<void> {
  const formulas = hidingCells(book);
  const asked = formulas.some((cell) => formulaIn(book, cell).expectations.some(({ metric }) => PREDICTED.has(metric)));
  if (!asked && !existsSync(join(root, LOCK_NAME))) return;
  await putOptics(output, root, book);
  for (const cell of formulas) settleHiding(book, cell);
}
