/** A week in the sample book: what was sprayed, scaled, renamed, moved, held against another tolerance, and learned anew. */
import { cp, readdir, readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { expect, it } from 'vitest';
import type { FormulaReview } from '../../../server/review/formula.ts';
import type { Review } from '../../../server/review/review.ts';
import { type Repository, repository } from './repository.ts';
import { pourbook } from './shop.ts';

const SAMPLE = fileURLToPath(new URL('../../../samples/book', import.meta.url));

async function edit(made: Repository, subject: string, change: (text: string) => string): Promise<void> {
  const files: Record<string, string> = {};
  for (const name of await readdir(made.folder)) {
    if (!name.endsWith('.pour')) continue;
    const before = await readFile(join(made.folder, name), 'utf8');
    const after = change(before);
    if (after !== before) files[name] = after;
  }
  expect(Object.keys(files).length, subject).toBeGreaterThan(0);
  await made.commit(subject, files);
}

/** Changes the entry that begins with this head. */
const inEntry = (head: string, change: (entry: string) => string) => (text: string) => {
  const from = text.indexOf(`\n${head} `) + 1;
  if (from === 0) return text;
  const end = text.indexOf('\n\n', from);
  const to = end < 0 ? text.length : end;
  return text.slice(0, from) + change(text.slice(from, to)) + text.slice(to);
};

const twice = (entry: string) =>
  entry.replace(
    /^( {2}toner +\S+ +)(\d+\.\d+)/gm,
    (_, start: string, parts: string) => `${start}${(Number(parts) * 2).toFixed(2)}`,
  );

const reviewOf = async (made: Repository, range: string): Promise<Review> =>
  JSON.parse((await pourbook(made.folder, 'review', range, '--json')).out) as Review;

const named = ({ formulas }: Review, id: string): FormulaReview => formulas.find((one) => one.id === id)!;

it('is told formula by formula, and the model apart from the formula', { timeout: 240_000 }, async () => {
  const made = await repository();
  await cp(SAMPLE, made.folder, { recursive: true });
  expect((await pourbook(made.folder, 'fit', '--write')).code).toBe(0);
  await made.commit('start', {});
  await edit(
    made,
    'Monday: Samphire a little darker',
    inEntry('formula SAM-31', (entry) => entry.replace(/(toner BLK-1 +)\d+\.\d+/, '$11.40')),
  );
  await edit(made, 'Tuesday: Slate for a larger cup', inEntry('formula SLT-4', twice));
  await edit(made, 'Wednesday: the tar black is called pitch', (text) => text.replaceAll('TAR-1', 'PIT-1'));
  await edit(
    made,
    'Thursday: a note',
    inEntry('formula GUL-2', (entry) => `${entry}\n  note "For the vans."`),
  );

  const week = await reviewOf(made, 'HEAD~4..HEAD');
  expect(week.model).toBe('same');
  expect(named(week, 'SAM-31')).toMatchObject({ was: 'changed', shift: { basis: 'predicted' } });
  expect(named(week, 'SAM-31').shift!.angles).toHaveLength(5);
  expect(named(week, 'SAM-31').sentence).toContain('darker');
  expect(named(week, 'SAM-31/dark').because).toEqual(['formula SAM-31']);
  expect(named(week, 'SLT-4')).toMatchObject({ grade: 'no change in colour', scaledBy: '2' });
  expect(named(week, 'PIT-1')).toMatchObject({ was: 'renamed', from: 'TAR-1', grade: 'no change in colour' });
  expect(named(week, 'GUL-2')).toMatchObject({ grade: 'no change in colour', callOuts: [] });
  const page = (await pourbook(made.folder, 'review', 'HEAD~4..HEAD', '--format', 'html')).out;
  expect(page).not.toMatch(/NaN|undefined/);
  expect(page.match(/Looked at by/g)!.length).toBeLessThan(week.formulas.length);

  // A drawdown that is left out makes the toners known otherwise: no formula moved.
  const cards = (await readdir(made.folder)).filter((name) => name.endsWith('.pour'));
  for (const name of cards) {
    const text = await readFile(join(made.folder, name), 'utf8');
    const found = /\ndrawdown [\s\S]*?\n\n/.exec(text);
    if (!found) continue;
    await made.write(name, text.replace(found[0], '\n\n'));
    break;
  }
  expect((await pourbook(made.folder, 'fit', '--write')).code).toBe(0);
  await made.commit('Friday: learned anew', {});
  const friday = await reviewOf(made, 'HEAD~1..HEAD');
  expect(friday.model).toBe('moved');
  expect(friday.formulas.length).toBeGreaterThan(0);
  for (const { movedBy, toners } of friday.formulas) {
    expect(toners.every(({ relative }) => relative === 0)).toBe(true);
    if (movedBy) expect(movedBy.formula).toBe(0);
  }
  expect(friday.formulas.some(({ movedBy }) => movedBy && movedBy.model > 0)).toBe(true);
});
