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

it('a grey that is mixed otherwise is told by what the optics and the drawdowns know of it', async () => {
  const mixed = async (parts: string) => {
    const text = BOOK['undercoats.pour']!.replace(/(grey N5 +).*/, `$1${parts}`);
    const { formulas } = await reviewOf({ ...BOOK, 'undercoats.pour': text });
    const own = formulas.find(({ id }) => id === 'BRK-3')!;
    return { own, out: own.callOuts.find(({ what }) => what === 'undercoat mixed otherwise')!.text };
  };
  const darker = await mixed('toner SEAL-W 60 toner SEAL-K 40');
  expect(darker.own.grade).toBe('needs a spray-out');
  expect(darker.own.sentence).toContain('by the optics it is another grey');
  expect(darker.out).toMatch(
    /no card shows it \(SEAL-N5 is of the earlier mixture\)\. The optics predict that the grey moves by \d+\.\d ± \d+\.\d dE00 at 45\/0, much darker\./,
  );
  // The listed mixture of another step, which was drawn down and read.
  const lighter = await mixed('toner SEAL-W 88.6 toner SEAL-K 11.4');
  expect(lighter.out).toMatch(/Card SEAL-N6\.5 shows it so: L\* 6\d\.\d, where the grey that is named has 51\.0\./);
  const hardly = await mixed('toner SEAL-W 71.4 toner SEAL-K 28.6');
  expect(hardly.own.grade).toBe('no change in colour');
  expect(hardly.own.sentence).toContain('as long as SEAL grey N5 is the same grey');
});
