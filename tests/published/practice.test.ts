/** Common practice of a paint shop, no standard behind it: what is usual at the bench has to work with the sample shop as it stands. */
import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { sheet } from '../../server/answers/sheet.ts';
import { subject } from '../../server/answers/subject.ts';
import { Book } from '../../server/book/book.ts';
import { shopOf } from '../../server/book/known.ts';
import { quantity } from '../../server/exact/quantity.ts';
import { rational, sum } from '../../server/exact/rational.ts';

const FOLDER = new URL('../../samples/book/', import.meta.url);

function sampleBook(): Book {
  const book = new Book();
  for (const name of readdirSync(FOLDER))
    if (name.endsWith('.pour')) book.setFile(`file:///book/${name}`, readFileSync(new URL(name, FOLDER), 'utf8'));
  book.loaded.set(true);
  return book;
}

describe('a small repair takes 50 to 60 g of colour (common practice)', () => {
  it.each(['50', '60'])('%s g of every formula is poured exactly, or told what to do instead', (grams) => {
    const book = sampleBook();
    let told = 0;
    const least = shopOf(book).step.div(2).div(shopOf(book).weighingError).mul(2);
    for (const cell of book.ofKind('formula')) {
      const asked = { quantity: quantity(rational(grams), 'g') };
      const { pours, total, warnings, formula } = sheet(book, subject(book, cell.name!.split(':')[1]!), asked);
      expect(sum(pours.map((pour) => rational(pour.grams))).equals(rational(total)), formula).toBe(true);
      const small = pours.filter((pour) => rational(pour.grams).lt(least));
      for (const { toner } of small) {
        const said = warnings.filter(({ kind }) => kind === 'small').find(({ message }) => message.includes(toner));
        expect(said?.message, `${formula} ${toner}`).toMatch(/Make at least [\d.]+ g/);
        told++;
      }
    }
    expect(told).toBeGreaterThan(0);
  });
});

it('an undercoat grey goes on in one or two coats, and a reading has three takes (common practice)', () => {
  const book = sampleBook();
  expect(sheet(book, subject(book, 'SAM-31')).undercoat?.coats).toBe('1..2');
  const bare = new Book();
  bare.setFile('file:///book/bare.pour', 'book "b"\n');
  bare.loaded.set(true);
  expect(shopOf(bare).takes).toBe(3);
});
