/** Why a formula is in a review, and in which order they stand. */
import { expect, it } from 'vitest';
import { reviewed } from './reviewed.ts';
import { book } from './small-book.ts';

const REST = book()['rest.pour']!;
const TONERS = book()['toners.pour']!;

it('another name alone of what a formula names is nothing to tell of it', async () => {
  for (const [from, to] of [
    ['DOOR', 'WING'],
    ['SEAL', 'PRIM'],
    ['C-1', 'CARD-1'],
  ] as const) {
    const { review } = await reviewed(book(), { 'rest.pour': REST.replace(new RegExp(`\\b${from}\\b`, 'g'), to) });
    expect(review.formulas, from).toEqual([]);
    expect(review.entries.map(({ was, from: old }) => [was, old])).toEqual([['renamed', from]]);
  }
});

it('another name and another figure are told with both names, also of a toner in the undercoat only', async () => {
  const seal = REST.replace('N9 toner WHT-1', 'N9 toner SEAL-W');
  const white = '\ntoner SEAL-W "Sealer white"\n  system WB\n  density 1.2 g/ml\n  solids 40 % weight\n  kind white\n';
  const before = { ...book(), 'rest.pour': seal, 'toners.pour': TONERS + white };
  const { of, written } = await reviewed(before, {
    'rest.pour': REST.replace('N9 toner WHT-1', 'N9 toner PALE-1').replace(
      'N2 toner BLK-1 100',
      'N2 toner BLK-1 90 toner PALE-1 10',
    ),
    'toners.pour': TONERS + white.replace('SEAL-W', 'PALE-1'),
  });
  expect(of('GUL-2').because).toEqual(['undercoat SEAL', 'toner PALE-1']);
  expect(await written('text')).toContain('through undercoat SEAL (grey), toner PALE-1 (renamed from SEAL-W)');
});

it('formulas alike in gravity stand by their ids as a person counts', async () => {
  const formula = (id: string, parts: number) => `formula ${id} "f"\n  toner WHT-1 ${parts}\n  toner BLK-1 1\n`;
  const ids = ['F-10', 'F-9', 'F-2', 'E-100'];
  const all = (parts: number) => ids.map((id) => formula(id, parts)).join('\n');
  const { review } = await reviewed({ ...book(), 'more.pour': all(10) }, { 'more.pour': all(11) });
  expect(review.formulas.map(({ id }) => id)).toEqual(['E-100', 'F-2', 'F-9', 'F-10']);
});

it('of a colour of several coats a share is of its coat, so that one coat moves no share of another', async () => {
  const pearl = (black: string) =>
    `formula PRL-7 "Pearl"\n  target weight 400 g as poured\n  coat ground\n  toner WHT-1 90\n  toner BLK-1 ${black}\n  coat mid coats 2\n  toner WHT-1 40\n  toner BLK-1 10\n`;
  const { of, written } = await reviewed({ ...book(), 'more.pour': pearl('10') }, { 'more.pour': pearl('60') });
  expect(of('PRL-7').toners.map(({ coat, code, before, after }) => [coat, code, before!.share, after!.share])).toEqual([
    ['ground', 'WHT-1', 90, 60],
    ['ground', 'BLK-1', 10, 40],
    ['mid', 'WHT-1', 80, 80],
    ['mid', 'BLK-1', 20, 20],
  ]);
  expect(of('PRL-7').toners.map(({ relative }) => Math.round(relative!))).toEqual([-33, 300, 0, 0]);
  expect(await written('text')).toContain('% of its coat before');
});
