import { expect, it } from 'vitest';
import { entry, reading, SHOP } from '../answers/entry.ts';
import { folderOf, pourbook } from './shop.ts';

const card = (id: string, L: number, surface: string) =>
  entry(`formula ${id} "${id}"`, 'target weight 100 g as poured', 'toner T 1') +
  entry(`sprayout ${id}-card of ${id}`, `surface ${surface}`, 'toner T 1', `lab 45as15 ${L} 0 0`);

const BOOK =
  SHOP + reading('R', 'surface cleared', 'lab 45as15 50 0 0') + card('F', 50.3, 'uncleared') + card('G', 51, 'cleared');

it('ranks the formulas, with what was not read alike beside each', async () => {
  const folder = await folderOf({ 'book.pour': BOOK });
  const { code, out } = await pourbook(folder, 'match', 'R', '--json');
  expect(code).toBe(0);
  expect(
    JSON.parse(out).candidates.map((one: { formula: string; notes: string[] }) => [one.formula, one.notes]),
  ).toEqual([
    ['F', ['one surface is cleared, the other is not']],
    ['G', []],
  ]);
  expect((await pourbook(folder, 'match', 'R')).out).toContain(
    'not read alike: one surface is cleared, the other is not',
  );
});

it('lists as many as are wanted, and refuses a formula as the reading', async () => {
  const folder = await folderOf({ 'book.pour': BOOK });
  expect(JSON.parse((await pourbook(folder, 'match', 'R', '--most', '1', '--json')).out).candidates).toHaveLength(1);
  expect((await pourbook(folder, 'match', 'F')).code).toBe(2);
});

it('lists the nearest five for the eye, and a hundred for a program, unless it is told how many', async () => {
  const many = Array.from({ length: 101 }, (_, n) => card(`N-${n}`, 51 + n / 100, 'cleared')).join('');
  const folder = await folderOf({ 'book.pour': BOOK + many });
  const count = async (...args: string[]) =>
    JSON.parse((await pourbook(folder, 'match', 'R', '--json', ...args)).out).candidates.length;
  expect(await count()).toBe(100);
  expect(await count('--most', '103')).toBe(103);
  expect((await pourbook(folder, 'match', 'R')).out.match(/N-\d+-card/g)).toHaveLength(3);
});
