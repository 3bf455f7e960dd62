import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { beforeAll, describe, expect, it } from 'vitest';
import { type FormulaAnswer, show } from '../../../server/answers/show.ts';
import { subject } from '../../../server/answers/subject.ts';
import type { Book } from '../../../server/book/book.ts';
import { readLock } from '../../../server/book/optics/lock.ts';
import { putFits } from '../../../server/book/optics/optics.ts';
import { loadBook } from '../../../server/command/load.ts';
import { formulaText } from '../../../server/report/text/show-formula.ts';

const root = fileURLToPath(new URL('../../../samples', import.meta.url));
const more = `
letdown BLK-1/20 of BLK-1 "A twentieth of the black"
  toner BLK-1 5
  toner BND-0 95

formula TST-1 "Silver with a trace"
  system WB
  toner ALU-M 45
  toner BLK-1/20 4
  toner BND-0 51
`;

describe('tinting by eye', () => {
  let book: Book;
  const tints = (id: string) => (show(book, subject(book, id)) as FormulaAnswer).tints;
  beforeAll(async () => {
    book = await loadBook(root);
    book.setFile('file:///more.pour', more);
    putFits(book, readLock(readFileSync(join(root, 'optics.lock'), 'utf8')));
  });

  it('tells of every toner of an effect colour what it does on face and flop, and how sure that is', () => {
    const found = tints('SAM-31');
    expect(found.map(({ toner }) => toner).toSorted()).toEqual(['ALU-C', 'BLK-1', 'BND-0', 'GRN-2']);
    for (const { coat, plusMinus, dE, words } of found) {
      expect(coat).toBeNull();
      expect(plusMinus).toBeGreaterThanOrEqual(0.1 * dE);
      expect(plusMinus).toBeLessThan(dE + 0.01);
      expect(words).toMatch(/^face .*; flop /);
    }
    const black = found.find(({ toner }) => toner === 'BLK-1')!;
    expect(black.face).toContain('darker');
    expect(black.dE).toBe(Math.max(...found.map(({ dE }) => dE)));
  });

  it('tells of every coat of several', () => {
    const found = tints('PRL-7');
    expect(found.map(({ coat, toner }) => `${coat} ${toner}`)).toEqual([
      'mid PRL-3',
      'mid BND-0',
      'ground WHT-1',
      'ground BLK-4',
      'ground YEL-3',
      'ground BND-0',
    ]);
    expect(found.find(({ toner }) => toner === 'BLK-4')!.flop).toContain('darker');
    expect(formulaText(show(book, subject(book, 'PRL-7')) as FormulaAnswer)).toMatch(
      /ground BLK-4 +[\d.]+ ± [\d.]+ +face/,
    );
  });

  it('a let-down is added as the let-down that it is', () => {
    const found = tints('TST-1');
    expect(found.map(({ toner }) => toner)).toEqual(['ALU-M', 'BLK-1/20', 'BND-0']);
    const pure = tints('SAM-31').find(({ toner }) => toner === 'BLK-1')!;
    expect(found[1]!.dE).toBeLessThan(pure.dE);
  });
});
