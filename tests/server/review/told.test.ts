/** What a reviewer must not overlook, on the sample book. */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { type Review, review } from '../../../server/review/review.ts';
import type { Source } from '../../../server/review/source.ts';
import { openVersions } from '../../../server/review/versions.ts';

const FOLDER = join(import.meta.dirname, '../../../samples');
const BOOK = Object.fromEntries(
  readdirSync(join(FOLDER, 'book')).map((name) => [name, readFileSync(join(FOLDER, 'book', name), 'utf8')]),
);
const LOCK = readFileSync(join(FOLDER, 'optics.lock'), 'utf8');

const source = (files: Readonly<Record<string, string>>, lock: string): Source => ({
  label: 'one',
  files: new Map(Object.entries(files).map(([path, text]) => [path, { id: text, text }])),
  beside: new Map([['optics.lock', { id: lock, read: async () => Buffer.from(lock) }]]),
});

const reviewOf = async (files: Readonly<Record<string, string>>, lock = LOCK): Promise<Review> =>
  review(await openVersions(source(BOOK, LOCK), source(files, lock)));

it('a paint that stays as it is has no change in colour where only the model moved, and that is said', async () => {
  // Every toner of the solid fits scatters half as much again.
  const moved = LOCK.replaceAll(/"S": \[[^\]]*\]/g, (list) =>
    list.replaceAll(/\d+(\.\d+)?(e-?\d+)?/g, (figure) => String(Number((Number(figure) * 1.5).toPrecision(6)))),
  );
  expect(moved).not.toBe(LOCK);
  const { formulas, model } = await reviewOf(BOOK, moved);
  expect(model).toBe('moved');
  const told = formulas.filter(({ movedBy }) => movedBy && movedBy.model >= 0.05);
  expect(told.length).toBeGreaterThan(0);
  for (const { grade, sentence, id } of told) {
    expect(grade, id).toBe('no change in colour');
    expect(sentence, id).toMatch(
      /^No change in colour: the same toners in the same ratios\. What is predicted of it moved by \d+\.\d dE00 at \S+, since optics\.lock is another\.$/,
    );
  }
});

it('an approval of a paint whose card is beyond the tolerance is called out, one whose card holds is not', async () => {
  const approved = async (id: string) => {
    const text = BOOK['formulas-metallic.pour']!;
    const at = text.indexOf(`formula ${id} `);
    const entry = text.slice(at).replace(/status .*/, 'status       approved by RO on 2026-11-20');
    const files = { ...BOOK, 'formulas-metallic.pour': text.slice(0, at) + entry };
    return (await reviewOf(files)).formulas.find((one) => one.id === id)!.callOuts;
  };
  const [found, ...more] = await approved('MUL-5');
  expect(found).toMatchObject({ what: 'approved beyond the tolerance' });
  expect(found!.text).toMatch(
    /^It says 'approved by RO on 2026-11-20', and card MUL-5\S* does not hold edge to edge\. \S/,
  );
  expect(more).toEqual([]);
  expect(await approved('SAM-31')).toEqual([]);
});
