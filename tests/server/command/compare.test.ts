import { expect, it } from 'vitest';
import { reading, SHOP } from '../answers/entry.ts';
import { folderOf, pourbook } from './shop.ts';

const BOOK =
  SHOP +
  reading('A', 'surface cleared', 'lab 45as15 50 2.6772 -79.7751') +
  reading('B', 'surface cleared', 'lab 45as15 50 0 -82.7485') +
  reading('DRY', 'surface uncleared', 'lab 45as15 50 0 -82.7485') +
  reading('FLAT', 'lab 45/0 50 0 0');

it('adds the other metrics when all are asked for', async () => {
  const folder = await folderOf({ 'book.pour': BOOK });
  const pair = async (...args: string[]) => {
    const { code, out } = await pourbook(folder, 'compare', 'A', 'B', '--json', ...args);
    expect(code).toBe(0);
    return JSON.parse(out).pairs[0];
  };
  const figures = (one: object) =>
    Object.keys(one)
      .filter((key) => /^(dE|din)/.test(key))
      .sort();
  expect(figures(await pair())).toEqual(['dE00', 'dE76', 'dE94', 'dEcmc']);
  expect(figures(await pair('--metric', 'all'))).toEqual([
    'dE00',
    'dE00kL2',
    'dE76',
    'dE94',
    'dE94t',
    'dEcmc',
    'dEcmc11',
    'din99o',
  ]);
  // Pair 1 of Sharma, Wu, Dalal 2005.
  expect(await pair('--metric', 'dE00,din99o')).toMatchObject({ dE00: 2.0425 });
  expect(figures(await pair('--metric', 'dE00,din99o'))).toEqual(['dE00', 'din99o']);
});

it('puts words and verdict before the figures', async () => {
  const folder = await folderOf({ 'book.pour': BOOK });
  const { out } = await pourbook(folder, 'compare', 'A', 'B');
  const lines = out.split('\n');
  expect(lines[0]).toBe('reading B against the standard reading A:');
  expect(lines[2]).toMatch(/^Tint first: 45as15 is off by 2\.04.* Judged under D65\/10\.$/);
  expect(out).not.toMatch(/NaN|undefined/);
});

it('refuses what was not read alike, and gives the reason beside the figures to who insists', async () => {
  const folder = await folderOf({ 'book.pour': BOOK });
  const refused = await pourbook(folder, 'compare', 'A', 'DRY');
  expect(refused.code).toBe(1);
  expect(refused.out).toContain('one surface is cleared, the other is not');
  expect(refused.out).toContain('--anyway');
  const insisted = await pourbook(folder, 'compare', 'A', 'DRY', '--anyway', '--json');
  expect(insisted.code).toBe(0);
  expect(JSON.parse(insisted.out).notes).toEqual(['one surface is cleared, the other is not']);
  expect((await pourbook(folder, 'compare', 'A', 'FLAT', '--anyway')).code).toBe(2);
});

it('tells a metric that it does not know', async () => {
  const folder = await folderOf({ 'book.pour': BOOK });
  const { code, err } = await pourbook(folder, 'compare', 'A', 'B', '--metric', 'dE2000');
  expect(code).toBe(2);
  expect(err).toContain("'dE2000' is no colour difference known here");
});
