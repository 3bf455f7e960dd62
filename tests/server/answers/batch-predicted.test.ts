/** What is predicted of an over-pour, with its ±, in the sample book. */
import { readdirSync, readFileSync } from 'node:fs';
import { expect, it } from 'vitest';
import { showBatch } from '../../../server/answers/batch.ts';
import { batchHints } from '../../../server/answers/batch-hints.ts';
import { predictedText } from '../../../server/answers/batch-words.ts';
import { rounded } from '../../../server/answers/number.ts';
import { show } from '../../../server/answers/show.ts';
import { subject } from '../../../server/answers/subject.ts';
import { Book } from '../../../server/book/book.ts';
import { findingsIn } from '../../../server/book/findings.ts';
import type { Learned } from '../../../server/book/optics/learn.ts';
import { readLock } from '../../../server/book/optics/lock.ts';
import { fitsOf, learnBook, putFits } from '../../../server/book/optics/optics.ts';
import { strayedText } from '../../../server/book/rescue.ts';
import { entry } from './entry.ts';

const folder = new URL('../../../samples/book/', import.meta.url);

let fits: readonly Learned[] = readLock(readFileSync(new URL('../optics.lock', folder), 'utf8'));

function bookWith(text: string): Book {
  const book = new Book();
  for (const name of readdirSync(folder)) {
    if (name.endsWith('.pour')) book.setFile(`file:///book/${name}`, readFileSync(new URL(name, folder), 'utf8'));
  }
  book.setFile('file:///book/bench.pour', text);
  book.loaded.set(true);
  putFits(book, fits);
  if (learnBook(book).length > 0) fits = fitsOf(book);
  return book;
}

const SOLID = 'batch S of GUL-2/warm\n  make 150 g\n';
const EFFECT = 'batch E of SAM-31/dark\n  make 80 g\n';
const shown = (text: string, id: string) => {
  const book = bookWith(text);
  return showBatch(book, subject(book, id, ['batch']));
};

it.each([
  ['solid', 'S', 'GUL-2/warm', SOLID + entry('', 'poured S-WHT 62.6 g', 'poured S-BLK 2.4 g').slice(1)],
  ['effect', 'E', 'SAM-31/dark', EFFECT + entry('', 'poured GRN-2 33.2 g', 'poured ALU-C 18.0 g').slice(1)],
])('the ± of a %s over-pour is that of a difference, far smaller than that of the colour', (_, id, formula, text) => {
  const { choices } = shown(text, id);
  const book = bookWith(text);
  const answer = show(book, subject(book, formula));
  const ofColour = Math.max(
    ...('predicted' in answer && answer.kind !== 'batch' ? answer.predicted : []).map((one) => one.plusMinus),
  );
  const leave = choices.find((one) => one.kind === 'leave')!;
  expect(leave.predicted).toBeGreaterThan(0.3);
  for (const choice of choices) {
    expect(choice.plusMinus, choice.kind).toBeGreaterThan(0);
    expect(choice.plusMinus, choice.kind).toBeLessThan(ofColour / 2);
  }
  // The ratios hold again: what is left is the step of the scale, and the ± covers it.
  const exact = choices.find((one) => one.kind === 'exact')!;
  expect(exact.predicted!).toBeLessThanOrEqual(exact.plusMinus!);
  expect(leave.plusMinus!).toBeGreaterThanOrEqual(exact.plusMinus! * 0.9);
});

it('is wider on a coarser scale', () => {
  const pours = ['poured GRN-2 33 g', 'poured ALU-C 20 g'];
  const coarse = entry('scale COARSE "Coarse"', 'readability 1 g');
  const of = (...lines: string[]) =>
    shown(coarse + entry('batch E of SAM-31/dark', 'make 80 g', ...lines, ...pours), 'E').choices.find(
      (one) => one.kind === 'leave',
    )!;
  expect(of('scale COARSE').plusMinus!).toBeGreaterThan(3 * of().plusMinus!);
});

it('a hint says what is predicted if the over-pour stays', () => {
  const book = bookWith(entry('batch E of SAM-31/dark', 'make 80 g', 'poured GRN-2 33.2 g', 'poured ALU-C 18.0 g'));
  const texts = batchHints(book, subject(book, 'E', ['batch'])).map((one) => one.text);
  expect(texts.at(-1)).toMatch(
    /^next 52\.5 g: 1\.3 g of BLK-1; → 51\.2 g, 0\.7 g over: ~\d\.\d ± \d\.\d dE00 predicted if it stays, (near the limit of|within|beyond) 1\.0$/,
  );
});

it('a full cup is predicted against the formula, hardener and reducer apart', () => {
  const pours = ['GRN-2 33.2', 'ALU-C 17.3', 'BLK-1 1.3', 'BND-0 28.2'].map((pour) => `poured ${pour} g`);
  const plain = shown(entry('batch E of SAM-31/dark', 'make 80 g', ...pours), 'E');
  expect(plain.predicted!).toBeLessThanOrEqual(plain.plusMinus!);
  const thinned = shown(entry('batch E of SAM-31/dark', 'make 80 g', ...pours, 'poured WB-R20 12 g'), 'E');
  expect(thinned).toMatchObject({ predicted: plain.predicted, plusMinus: plain.plusMinus });
  const tinted = shown(entry('batch E of SAM-31/dark', 'make 80 g', ...pours, 'tinted BLK-1 0.8 g'), 'E');
  expect(tinted.predicted!).toBeGreaterThan(2);
});

it.each([
  ['solid', SOLID + entry('', 'poured S-WHT 62.6 g', 'poured S-BLK 2.4 g').slice(1), 'S'],
  ['effect', EFFECT + entry('', 'poured GRN-2 33.2 g', 'poured ALU-C 18.0 g').slice(1), 'E'],
])('says the same of each way out of a %s over-pour in its finding as in its answer', (_, text, id) => {
  const book = bookWith(text);
  const cell = subject(book, id, ['batch']);
  const fixes = findingsIn(book, cell).find((one) => one.code === 'over-poured')!.fixes!;
  const { choices } = showBatch(book, cell);
  expect(choices.length).toBeGreaterThan(3);
  expect(fixes.map(({ title }) => /predicted [\d.]+ ± [\d.]+ dE00/.exec(title)?.[0])).toEqual(
    choices.map((choice) => `predicted ${predictedText(choice)}`),
  );
});

it('rounds a prediction once, whether it comes from the cup or from JSON', () => {
  for (const dE00 of [0.4462, 0.44996, 0.449961, 0.05, 0.95]) {
    for (const plusMinus of [0.3004, 0.30001, 0.29996, 0.02]) {
      const json = { predicted: rounded(dE00), plusMinus: rounded(plusMinus) };
      expect(predictedText(json)).toBe(strayedText({ dE00, plusMinus }));
    }
  }
});
