/** Where VOC and cost come from. */
import { expect, it } from 'vitest';
import { subject } from '../../../server/answers/subject.ts';
import { why } from '../../../server/answers/why.ts';
import { bookOf } from '../book/marked.ts';
import { entry } from './entry.ts';

const BOOK =
  entry('book "b"', 'voc eu-2004-42 topcoat') +
  entry('system S "s"', 'reducer R 15 % of paint by weight') +
  entry('toner A "a"', 'density 1.03 g/ml', 'solids 24 % weight', 'water 65 % weight', 'price 20 EUR/kg') +
  entry('toner B "b"', 'density 1.03 g/ml', 'solids 24 % weight', 'water 65 % weight') +
  entry('toner R "r"', 'density 0.995 g/ml', 'solids 0 % weight', 'water 95 % weight') +
  entry('formula F "f"', 'system S', 'target weight 200 g', 'toner A 3', 'toner B 1');

const derived = (figure: string, text = BOOK) => {
  const book = bookOf(text);
  return why(book, subject(book, 'F', ['formula']), figure);
};

it('the VOC leads to its limit, to what every liquid gives off, and to what is added', () => {
  const found = derived('voc');
  expect(found).toMatchObject({ value: '358.6 g/l less water, ready to spray', basis: 'computed' });
  expect(found.steps).toContainEqual({ text: 'voc eu-2004-42 topcoat', place: 'book.pour:2' });
  expect(found.steps).toContainEqual({
    text: '75.00 g of A: 11.0 % VOC, 65.0 % water, 1.030 g/ml',
    place: 'book.pour:5',
  });
  expect(found.steps).toContainEqual({ text: 'reducer R 15 % of paint by weight', place: 'book.pour:4' });
});

it('the cost leads to the price of every toner, and says which has none', () => {
  const found = derived('cost');
  // 150 g at 20 EUR/kg
  expect(found.value).toContain('at least 3.00 EUR for 200.0 g');
  expect(found.steps).toContainEqual({ text: '150.0 g of A at 20.00 EUR/kg = 3.00 EUR', place: 'book.pour:5' });
  expect(found.steps).toContainEqual({ text: 'B has no price', place: 'book.pour:10' });
});

it('says what is missing', () => {
  expect(() => derived('voc', BOOK.replace('15 % of paint by weight', '15 %'))).toThrow(
    'a percentage of what is not said',
  );
  expect(() => derived('voc', BOOK.replaceAll('  density 1.03 g/ml\n', ''))).toThrow('A: no density; B: no density');
  expect(() => derived('cost', BOOK.replace('  price 20 EUR/kg\n', ''))).toThrow('no toner of it has a price');
});
