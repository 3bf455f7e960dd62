/** A week in the sample book: what was sprayed, scaled, renamed, moved, read again, and learned anew. */
import { readdir, readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { historyHtml } from '../../../server/report/html/history.ts';
import { historyText } from '../../../server/report/text/history.ts';
import type { FormulaReview } from '../../../server/review/formula.ts';
import type { HistoryAnswer } from '../../../server/review/history.ts';
import type { Review } from '../../../server/review/review.ts';
import type { Repository } from './repository.ts';
import { pourbook } from './shop.ts';
import { DAYS, scriptedWeek } from './week.ts';

const reviewOf = async (made: Repository, range: string): Promise<Review> =>
  JSON.parse((await pourbook(made.folder, 'review', range, '--json')).out) as Review;

const named = ({ formulas }: Review, id: string): FormulaReview => formulas.find((one) => one.id === id)!;

it('is told formula by formula, gravest first', { timeout: 120_000 }, async () => {
  const made = await scriptedWeek();
  const week = await reviewOf(made, `HEAD~${DAYS}..HEAD`);
  expect(week).toMatchObject({ model: 'same', shop: 'Saltmarsh Coachworks' });
  expect(week.commits.map(({ author }) => author)).toEqual([
    'Rosa Ore',
    'Rosa Ore',
    'Ida Moss',
    'Ida Moss',
    'Rosa Ore',
  ]);

  // Sprayed: the cards tell. What derives from it was not, so the prediction does, and the card of before moved by it.
  expect(named(week, 'SAM-31')).toMatchObject({
    was: 'changed',
    shift: { basis: 'measured', angles: [{ predicted: expect.any(Number) }, {}, {}, {}, {}] },
    status: { before: 'approved by RO on 2026-10-20', after: 'approved by RO on 2026-11-19' },
    callOuts: [],
    batches: ['2026-10-02-A'],
  });
  const dark = named(week, 'SAM-31/dark');
  expect(dark).toMatchObject({
    was: 'reached',
    because: ['formula SAM-31', 'toner BLK-1'],
    shift: { basis: 'predicted' },
  });
  expect(dark.shift!.angles).toHaveLength(5);
  expect(dark.expectedOff.after!.from).toBe(dark.againstStandard.before!.card);
  expect(dark.expectedOff.after!.worst.dE00).toBeGreaterThan(dark.againstStandard.before!.worst.dE00);
  expect(dark.sentence).toContain('beyond the 1.0 allowed: spray it out');

  // A solid colour: the ± is of the shift, far below that of either colour.
  const gull = named(week, 'GUL-2');
  expect(gull.shift!.angles[0]!.plusMinus).toBeGreaterThan(0);
  expect(gull.shift!.angles[0]!.plusMinus).toBeLessThan(0.3 * gull.shift!.plusMinus!);
  expect(gull.shift!.sure).toBe(true);
  expect(gull.callOuts.map(({ what }) => what)).toEqual(['approval is of the earlier paint']);
  expect(gull.expectations).toMatchObject([{ before: 'holds', after: 'open' }]);

  expect(named(week, 'SLT-4')).toMatchObject({ grade: 'no change in colour', scaledBy: '2' });
  expect(named(week, 'PIT-1')).toMatchObject({ was: 'renamed', from: 'TAR-1', grade: 'no change in colour' });
  expect(named(week, 'HRN-1')).toMatchObject({ grade: 'no change in colour', words: ['note'], callOuts: [] });
  expect(named(week, 'PRL-7').callOuts.map(({ what }) => what)).toEqual(['standard moved']);
  expect(named(week, 'FUL-1')).toMatchObject({ was: 'added', grade: 'needs a spray-out' });
  const kelp = named(week, 'KLP-4');
  expect([kelp.undercoat.before!.grey, kelp.undercoat.after!.grey]).toEqual(['N3.5', 'N5']);
  expect(kelp.voc.after!.within).toBe(true);

  const outs = week.formulas.map(({ callOuts }) => Math.min(1, callOuts.length));
  expect(outs).toEqual([...outs].sort((a, b) => b - a));
});

it('as a page to sign: what is to be looked at first, each with its lines, and the whole at the end', {
  timeout: 120_000,
}, async () => {
  const made = await scriptedWeek();
  const page = (await pourbook(made.folder, 'review', `HEAD~${DAYS}..HEAD`, '--format', 'html')).out;
  expect(page).not.toMatch(/NaN|undefined|null|<script|src=|href=|url\(/);
  const look = page.match(/<td class="id">/g)!.length;
  expect(look).toBeGreaterThan(5);
  expect(page.match(/Looked at by/g)).toHaveLength(look);
  expect(page.match(/Reviewed by/g)).toHaveLength(1);
  for (const [first, then] of [
    ['To look at', 'Gull Grey'],
    ['Gull Grey', '>No change in colour<'],
    ['>No change in colour<', 'Reviewed by'],
  ] as const)
    expect(page.indexOf(first), first).toBeLessThan(page.lastIndexOf(then));
  // In black and white nothing is said by colour alone: the only colours are the small patches of the screen.
  expect(page.replace(/<i style="background:#[0-9a-f]{6}"><\/i>/g, '').match(/style="/g)).toBeNull();
});

it('shows the path of a formula: measured and predicted, at the angle where it went furthest', {
  timeout: 120_000,
}, async () => {
  const made = await scriptedWeek();
  const answer = JSON.parse((await pourbook(made.folder, 'history', 'SAM-31', '--json')).out) as HistoryAnswer;
  const out = historyText(answer);
  expect(out).toMatch(/^3 .* 2026-11-19 10:20 {2}Rosa Ore: Sprayed the darker Samphire$/m);
  // The second version has no card yet: only its prediction is known.
  expect(out).toMatch(/^ +1 .*SAM-31-card-2.*dE00.*\n +2 +2026-11-16 +– +– +– +[-\d. ]+\d\.\d\n +3 .*SAM-31-darker/m);
  const page = historyHtml(answer, 'all');
  expect(page.match(/<svg xmlns/g)).toHaveLength(5);
  expect(page).toMatch(/2 predicted L\* .*; 1 measured L\* .*; 3 measured L\* .*; standard L\*/);
});

it('finds the day on which a stated fact stopped holding, whatever it is of', { timeout: 240_000 }, async () => {
  const made = await scriptedWeek();
  // Halfway between what is predicted of it before and after; no card shows it.
  const { before, after } = named(await reviewOf(made, `HEAD~${DAYS}..HEAD`), 'SAM-31/dark/coarse').expectedOff;
  const [was, is] = [before!, after!].map(({ angles }) => Math.max(...angles.map(({ dE00 }) => dE00))) as [
    number,
    number,
  ];
  expect(is).not.toBeCloseTo(was, 2);
  for (const [id, fact, subject] of [
    ['KLP-4', 'coats <= 0.7', 'Kelp over'],
    ['SLO-3', 'cost <= 24.8 EUR/kg', 'Kelp over'],
    [
      'SAM-31/dark/coarse',
      `predicted worst ${is > was ? '<=' : '>='} ${((was + is) / 2).toFixed(3)} dE00`,
      'Samphire a little darker',
    ],
    ['PIT-1', 'total <= 1', undefined],
  ] as const) {
    const { out, code } = await pourbook(made.folder, 'bisect', id, fact, '--json');
    const found = JSON.parse(out || '{}');
    expect(code, `${id} ${fact}: ${found.told}`).toBe(subject === undefined ? 1 : 0);
    if (subject !== undefined) expect(found.commit.subject, `${id} ${fact}`).toContain(subject);
  }
});

it('tells the model apart from the formula', { timeout: 240_000 }, async () => {
  const made = await scriptedWeek();
  // A drawdown that is left out makes the toners known otherwise: no formula moved.
  const book = join(made.folder, 'book');
  for (const name of await readdir(book)) {
    const text = await readFile(join(book, name), 'utf8');
    const found = /\ndrawdown [\s\S]*?\n\n/.exec(text);
    if (!found) continue;
    await made.write(`book/${name}`, text.replace(found[0], '\n\n'));
    break;
  }
  expect((await pourbook(made.folder, 'fit', '--write')).code).toBe(0);
  await made.commit('Learned anew', {});
  const anew = await reviewOf(made, 'HEAD~1..HEAD');
  expect(anew.model).toBe('moved');
  expect(anew.formulas.length).toBeGreaterThan(0);
  for (const { movedBy, toners } of anew.formulas) {
    expect(toners.every(({ relative }) => relative === 0)).toBe(true);
    if (movedBy) expect(movedBy.formula).toBe(0);
  }
  // Those that no card shows, too.
  expect(named(anew, 'SAM-31/dark/coarse')).toBeDefined();
  expect(anew.formulas.some(({ movedBy }) => movedBy && movedBy.model > 0)).toBe(true);
});
