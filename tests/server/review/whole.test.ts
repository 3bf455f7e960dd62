/**
 * Comparing what a change can reach tells the same as comparing two versions whole, read from scratch: random edits anywhere in the sample
 * book, in its settings, toners, undercoats, parents, readings, cards, batches and its recorded optics.
 */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import fc from 'fast-check';
import { expect, it } from 'vitest';
import { cut } from '../../../grammar/cutter.ts';
import { type Review, review } from '../../../server/review/review.ts';
import type { Source } from '../../../server/review/source.ts';
import { openVersions, openWhole } from '../../../server/review/versions.ts';

const FOLDER = join(import.meta.dirname, '../../../samples');

/** Entries by file. */
type Shelf = Readonly<Record<string, readonly string[]>>;

const SAMPLE: Shelf = Object.fromEntries(
  readdirSync(join(FOLDER, 'book')).map((name) => [
    `book/${name}`,
    cut(readFileSync(join(FOLDER, 'book', name), 'utf8')).slices.map(({ text }) => text),
  ]),
);
const LOCK = readFileSync(join(FOLDER, 'optics.lock'));

const source = (shelf: Shelf, lock: Buffer | undefined): Source => {
  const files = Object.entries(shelf).map(([path, parts]) => [path, parts.join('')] as const);
  return {
    label: 'one',
    files: new Map(files.map(([path, text]) => [path, { id: text, text }])),
    beside: new Map(lock ? [['optics.lock', { id: lock.toString(), read: async () => lock }]] : []),
  };
};

interface Edit {
  readonly what: keyof typeof EDITS;
  readonly file: number;
  readonly entry: number;
  readonly line: number;
}

/** Each gives the entries that stand instead of one. */
const EDITS = {
  'another number': (text: string, line: number) => [
    inLine(text, line, (one) => one.replace(/\d(?=[\d.]*\s*$|[\d.]* )/, (digit) => String((Number(digit) + 1) % 10))),
  ],
  'a line less': (text: string, line: number) => [inLine(text, line, () => undefined)],
  'a line twice': (text: string, line: number) => [inLine(text, line, (one) => `${one}\n${one}`)],
  'a comment': (text: string, line: number) => [inLine(text, line, (one) => `${one}  # seen`)],
  'another id': (text: string) => [text.replace(/^(\w+ \S+)/m, '$1x')],
  gone: () => [],
  twice: (text: string) => [text, text],
} as const;

function inLine(text: string, line: number, change: (one: string) => string | undefined): string {
  const lines = text.split('\n');
  return lines.flatMap((one, index) => (index === line % lines.length ? (change(one) ?? []) : [one])).join('\n');
}

function edited(shelf: Shelf, { what, file, entry, line }: Edit): Shelf {
  const names = Object.keys(shelf);
  const name = names[file % names.length]!;
  const parts = shelf[name]!;
  const at = entry % Math.max(1, parts.length);
  return { ...shelf, [name]: parts.flatMap((text, index) => (index === at ? EDITS[what](text, line) : [text])) };
}

const edit: fc.Arbitrary<Edit> = fc.record({
  what: fc.constantFrom(...(Object.keys(EDITS) as (keyof typeof EDITS)[])),
  file: fc.nat(),
  entry: fc.nat(),
  line: fc.nat(),
});

async function both(before: Source, after: Source): Promise<[Review, Review]> {
  const part = review(await openVersions(before, after));
  return [part, review({ before: await openWhole(before), after: await openWhole(after) })];
}

it('tells of a part of the sample book what it tells of the whole', { timeout: 300_000 }, async () => {
  await fc.assert(
    fc.asyncProperty(fc.array(edit, { minLength: 1, maxLength: 4 }), async (edits) => {
      const [part, whole] = await both(source(SAMPLE, undefined), source(edits.reduce(edited, SAMPLE), undefined));
      expect(part).toEqual(whole);
    }),
    { numRuns: 25 },
  );
});

it('with its optics recorded, too', { timeout: 300_000 }, async () => {
  await fc.assert(
    fc.asyncProperty(fc.array(edit, { minLength: 1, maxLength: 2 }), async (edits) => {
      const [part, whole] = await both(source(SAMPLE, LOCK), source(edits.reduce(edited, SAMPLE), LOCK));
      expect(part).toEqual(whole);
    }),
    { numRuns: 4 },
  );
});

it('figures of a fit that were written otherwise move the model, though it is of the same cards; line ends do not', async () => {
  const to = async (lock: string) =>
    review(await openVersions(source(SAMPLE, LOCK), source(SAMPLE, Buffer.from(lock))));
  const text = LOCK.toString();
  const blacker = text.replace(/"K": \[(\d)/, (_, first) => `"K": [${(Number(first) + 1) % 10}`);
  expect(blacker).not.toBe(text);
  const moved = await to(blacker);
  expect(moved.model).toBe('moved');
  // The ± of a shift is of one fit.
  const shifts = moved.formulas.flatMap(({ shift }) => shift?.angles.filter(({ dE00 }) => dE00 > 0) ?? []);
  expect(shifts.length).toBeGreaterThan(0);
  expect(shifts.every(({ plusMinus }) => plusMinus !== 0)).toBe(true);
  expect((await to(text.replaceAll('\n', '\r\n'))).model).toBe('same');
}, 60_000);
