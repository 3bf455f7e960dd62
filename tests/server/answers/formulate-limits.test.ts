import { describe, expect, it } from 'vitest';
import { formulate } from '../../../server/answers/formulate.ts';
import { priceOfParts, vocOfParts } from '../../../server/answers/formulate-limits.ts';
import { subject } from '../../../server/answers/subject.ts';
import { Book } from '../../../server/book/book.ts';
import { learnBook } from '../../../server/book/optics/optics.ts';
import type { Component } from '../../../server/paint/mixture.ts';
import { bookOf } from '../book/marked.ts';
import { readingText, simulatedShop } from '../book/optics/simulated-shop.ts';
import { reading } from '../paint/simulated-book.ts';
import { entry } from './entry.ts';

const shop = simulatedShop(11, 7, 60);
const wanted: Component[] = [
  { toner: 0, share: 0.4 },
  { toner: 4, share: 0.12 },
  { toner: 1, share: 0.03 },
  { toner: 2, share: 0.45 },
];

/** Every toner 50 % solids by weight at 1.1 g/ml and 30 EUR/l, but T4 dear and full of solvent. */
function shelf(text: string): Book {
  const solids = text.replaceAll(/^( {2}price 30 EUR\/l)$/gm, '$1\n  solids 50 % weight');
  const dear = solids.replace(/(toner T4 [\s\S]*?price )30( EUR\/l\n {2}solids )50/, '$1300$220');
  const book = new Book();
  book.setFile('file:///shop.pour', `${dear}\n${readingText('STD', reading(shop.toners, wanted))}`);
  book.loaded.set(true);
  learnBook(book);
  return book;
}
const book = shelf(shop.text);
const ask = (asked: Parameters<typeof formulate>[2]) => formulate(book, subject(book, 'STD'), { most: 4, ...asked });
const holds = (code: string) => (one: ReturnType<typeof ask>['solutions'][number]) =>
  one.toners.some((toner) => toner.code === code);

describe('VOC and price of parts', () => {
  it('are those of the calculation by hand', () => {
    // 1.1 g/ml, half of it solvent: 550 g/l; 30 EUR/l are 27.27 EUR/kg
    const parts = new Map([
      ['T0', 60],
      ['T2', 40],
    ]);
    expect(vocOfParts(book, 'SB', parts).value).toBeCloseTo(550, 6);
    expect(priceOfParts(book, parts, 'l').value).toBeCloseTo(30, 6);
    expect(priceOfParts(book, parts, 'kg').value).toBeCloseTo(27.27, 6);
    // 90 of T0 and 10 of T4 by weight, alike dense: (0.9 x 50 + 0.1 x 80) % of 1100 g/l, and 0.9 x 30 + 0.1 x 300
    const mixed = new Map([
      ['T0', 90],
      ['T4', 10],
    ]);
    expect(vocOfParts(book, 'SB', mixed).value).toBeCloseTo(583, 6);
    expect(priceOfParts(book, mixed, 'l').value).toBeCloseTo(57, 6);
  });
});

describe('formulating under a limit', () => {
  it('takes the toner that is dear or full of solvent where nothing is demanded, and keeps within what is', () => {
    const free = ask({});
    expect(free.solutions[0]!.dE00).toBeLessThan(1);
    expect(free.solutions.every(holds('T4'))).toBe(true);
    const voc = free.solutions[0]!.voc!;
    expect(voc).toBeGreaterThan(560);
    const clean = ask({ mostVoc: 555 });
    expect(clean.solutions.length).toBeGreaterThan(0);
    for (const one of clean.solutions) expect(one.voc).toBeLessThanOrEqual(555);
    const cheap = ask({ mostPrice: { amount: 31, per: 'l' } });
    expect(cheap.solutions.length).toBeGreaterThan(0);
    for (const one of cheap.solutions) expect(one.cost! * 1.1).toBeLessThanOrEqual(31.1);
    expect(cheap.solutions[0]!.dE00).toBeGreaterThan(free.solutions[0]!.dE00);
  });

  it('says what stands in the way when nothing remains', () => {
    const none = ask({ mostVoc: 400, mostPrice: { amount: 5, per: 'kg' } });
    expect(none).toMatchObject({ solutions: [], reachable: false });
    expect(none.notes.join('\n')).toMatch(
      /the least VOC of those that come near is 5\d\d g\/l, above 400, and the cheapest/,
    );
    const blind = new Book();
    blind.setFile('file:///shop.pour', `${shop.text}\n${readingText('STD', reading(shop.toners, wanted))}`);
    blind.loaded.set(true);
    learnBook(blind);
    const unknown = formulate(blind, subject(blind, 'STD'), { most: 4, mostVoc: 400 });
    expect(unknown.solutions).toEqual([]);
    expect(unknown.notes.join('\n')).toContain('T0: no solids');
  });
});

it('the VOC of parts is that of the reducer that gives most, as an expectation counts it', () => {
  const two = bookOf(
    entry(
      'system S "s"',
      'reducer COOL 15 % of paint by weight from 15 C to 25 C',
      'reducer WARM 15 % of paint by weight from 25 C to 35 C',
    ) +
      entry('toner A "a"', 'density 1.03 g/ml', 'solids 24 % weight', 'water 65 % weight') +
      entry('toner COOL "c"', 'density 0.995 g/ml', 'solids 0 % weight', 'water 95 % weight') +
      entry('toner WARM "w"', 'density 0.995 g/ml', 'solids 0 % weight', 'water 80 % weight'),
  );
  // 14 g of 115 g in 35.024 ml without water; with the other 358.6 g/l
  expect(vocOfParts(two, 'S', new Map([['A', 100]]))).toEqual({ value: 399.7, missing: [] });
});
