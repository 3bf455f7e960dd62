import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { beforeAll, expect, it } from 'vitest';
import type { Book } from '../../../../server/book/book.ts';
import { shopOf } from '../../../../server/book/known.ts';
import { LOCK_NAME, readLock } from '../../../../server/book/optics/lock.ts';
import { putFits } from '../../../../server/book/optics/optics.ts';
import { type Paint, paintOf } from '../../../../server/book/optics/predicted.ts';
import { shiftPlusMinus } from '../../../../server/book/optics/shift.ts';
import { recipeNamed } from '../../../../server/book/recipe.ts';
import { loadBook } from '../../../../server/command/load.ts';

const samples = join(import.meta.dirname, '../../../../samples');
let book: Book;

beforeAll(async () => {
  book = await loadBook(samples);
  putFits(book, readLock(await readFile(join(samples, LOCK_NAME), 'utf8')));
});

function paint(id: string): Paint {
  const found = paintOf(book, recipeNamed(book, id)!);
  if ('none' in found) throw new Error(found.none);
  return found;
}

const between = (one: string, other: string) => shiftPlusMinus(paint(one), paint(other), shopOf(book).viewings[0]!);

it('of effect colours the ± is a part of the shift, none where nothing moves', () => {
  const of = between('SAM-31', 'SAM-31/dark')!;
  expect(of(0)).toBe(0);
  expect(of(1)).toBeGreaterThan(0.05);
  expect(of(1)).toBeLessThan(1);
  expect(of(3)).toBeCloseTo(3 * of(1), 12);
});

it('of solid colours it is what the errors of the fit give for the two paints, whatever the size', () => {
  const of = between('GUL-2', 'GUL-2/warm')!;
  expect(of(5)).toBe(of(1));
  expect(of(1)).toBeGreaterThan(0);
  expect(between('GUL-2', 'GUL-2')!(1)).toBe(0);
});

it('a solid colour and one with flakes have errors of two kinds, so nothing is said', () => {
  expect(between('SAM-31', 'GUL-2')).toBeUndefined();
});
