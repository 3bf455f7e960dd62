import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { readingText, simulatedShop, tonerLines } from '../book/optics/simulated-shop.ts';
import { reading } from '../paint/simulated-book.ts';
import { folderOf, pourbook } from './shop.ts';

const shop = simulatedShop(5, 6, 30);
const parts = [
  { toner: 0, share: 0.4 },
  { toner: 3, share: 0.2 },
  { toner: 2, share: 0.4 },
];
const BOOK = [
  shop.text,
  `formula F-1 "One"\n  system SB\n  standard STD\n${tonerLines(shop.toners, parts)}\n`,
  readingText('STD', reading(shop.toners, parts)),
].join('\n');

it('fit learns, tells, writes optics.lock, and the next command uses it', async () => {
  const folder = await folderOf({ 'book.pour': BOOK });
  const first = await pourbook(folder, 'fit', '--write', '--advise', '--json');
  expect(first.code).toBe(0);
  expect(first.err).toContain('there is no optics.lock');
  const { fits, advice } = JSON.parse(first.out);
  expect(fits[0]).toMatchObject({ system: 'SB', side: 'solid', state: 'ready', cards: 30 });
  expect(Object.keys(fits[0].toners[0])).toEqual([
    'code',
    'kind',
    'cards',
    'mixtures',
    'residual',
    'leftOut',
    'plusMinus',
    'uncertain',
  ]);
  expect(advice[0].text).toContain('draw down');
  const lock = await readFile(join(folder, 'optics.lock'), 'utf8');
  const shown = await pourbook(folder, 'show', 'F-1', '--json');
  expect(shown.err).toBe('');
  const { predicted, coats, bestGrey } = JSON.parse(shown.out);
  expect(predicted[0]).toEqual({
    geometry: '45/0',
    illuminant: 'D65',
    observer: '10',
    lab: [expect.any(Number), expect.any(Number), expect.any(Number)],
    plusMinus: expect.any(Number),
  });
  expect(coats).toBeNull();
  expect(bestGrey).toEqual({
    munsellValue: expect.any(Number),
    lightness: expect.any(Number),
    coats: expect.any(Number),
  });
  await pourbook(folder, 'fit', '--write');
  expect(await readFile(join(folder, 'optics.lock'), 'utf8')).toBe(lock);
});

it('a lock of other cards is not believed', async () => {
  const folder = await folderOf({ 'book.pour': BOOK });
  await pourbook(folder, 'fit', '--write');
  const lock = await readFile(join(folder, 'optics.lock'), 'utf8');
  const other = await folderOf({ 'book.pour': simulatedShop(5, 6, 29).text, 'optics.lock': lock });
  expect((await pourbook(other, 'fit')).err).toContain('optics.lock is of other cards');
});

it('formulate answers in the documented shape', async () => {
  const folder = await folderOf({ 'book.pour': BOOK });
  const { code, out } = await pourbook(folder, 'formulate', 'STD', '--most', '3', '--limit', 'T1=5', '--json');
  expect(code).toBe(0);
  const { solutions, reachable, unique } = JSON.parse(out);
  expect([reachable, typeof unique]).toEqual([true, 'boolean']);
  expect(Object.keys(solutions[0])).toEqual([
    'toners',
    'dE00',
    'worst',
    'plusMinus',
    'metamerism',
    'cost',
    'voc',
    'coats',
    'bestGrey',
    'coatsOver',
  ]);
  expect(solutions[0].toners[0]).toEqual({ code: expect.any(String), parts: expect.any(Number) });
});

it('formulate keeps to a price, says when nothing does, and asks for a price that can be read', async () => {
  const folder = await folderOf({ 'book.pour': BOOK });
  const cheap = await pourbook(folder, 'formulate', 'STD', '--most-price', '31 EUR/l', '--json');
  expect(JSON.parse(cheap.out).solutions.length).toBeGreaterThan(0);
  const none = await pourbook(folder, 'formulate', 'STD', '--most-price', '20/l', '--most-voc', '420');
  expect(none.out).toContain('costs 30.00 a l, above 20');
  const wrong = await pourbook(folder, 'formulate', 'STD', '--most-price', '20');
  expect(wrong.code).toBe(2);
  expect(wrong.err).toContain('such as 25/kg or 30/l');
});

it('says in a sentence what cannot run, with exit code 2', async () => {
  const folder = await folderOf({ 'book.pour': BOOK });
  const fails = async (...args: string[]) => {
    const { code, err } = await pourbook(folder, ...args);
    expect(code).toBe(2);
    expect(err).not.toContain('Something went wrong inside');
    return err;
  };
  expect(await fails('formulate', 'STD', '--must', 'T3', '--must-not', 'T3')).toContain('both demanded and forbidden');
  expect(await fails('formulate', 'STD', '--limit', 'T3=much')).toContain('a share in per cent');
  expect(await fails('formulate', 'STD', '--most', '20')).toContain('1 to 8');
  expect(await fails('formulate', 'NOPE')).toContain("'NOPE'");
  expect(await fails('correct', 'F-1')).toContain('No card shows F-1 as it is now');
  const bare = await folderOf({ 'book.pour': 'book "Bare"\n  language 1\n' });
  const { code, err } = await pourbook(bare, 'fit');
  expect([code, err]).toEqual([2, expect.stringContaining('There is no card to learn from')]);
});

it('show --chart draws the coats of a formula against grey', async () => {
  const folder = await folderOf({ 'book.pour': BOOK });
  const drawn = await pourbook(folder, 'show', 'F-1', '--chart');
  expect(drawn.code).toBe(0);
  expect(drawn.out).toMatch(/^<svg xmlns="http:\/\/www.w3.org\/2000\/svg"[\s\S]*<\/svg>$/m);
  const { points } = JSON.parse((await pourbook(folder, 'show', 'F-1', '--chart', '--json')).out);
  expect(points.map(({ munsellValue }: { munsellValue: number }) => Math.round(2 * munsellValue) / 2)).toEqual(
    Array.from({ length: 16 }, (_, i) => 2 + i / 2),
  );
  const other = await pourbook(folder, 'show', 'STD', '--chart');
  expect(other.code).toBe(2);
  expect(other.err).toContain('--chart draws the coats of a formula; this is a reading.');
});
