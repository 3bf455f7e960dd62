/** What stands behind the toner lines. */
import { expect, it } from 'vitest';
import { formulaPours } from '../../../server/answers/pours.ts';
import { bookOf } from '../book/marked.ts';
import { entry } from './entry.ts';

const hints = (text: string, id: string) => {
  const book = bookOf(text);
  return formulaPours(book, book.find('formula', id)!).map((one) => one.text);
};

it('each coat is a cup of its own, whose running figure begins anew', () => {
  const text =
    entry('book "b"', 'scale 0.1 g') +
    entry('formula F "f"', 'target weight 100 g', 'coat ground', 'toner A 30', 'toner B 30', 'coat mid', 'toner C 40') +
    entry('variant F/d "d"', 'toner B +20');
  expect(hints(text, 'F')).toEqual(['30.0 g → 30.0 g', '30.0 g → 60.0 g', '40.0 g → 40.0 g']);
  expect(hints(text, 'F/d')).toEqual(['41.7 g → 66.7 g']);
});

it('nothing is poured of a coat that is too little for the scale, and the others keep their lines', () => {
  const text =
    entry('book "b"', 'scale 0.1 g') +
    entry('formula F "f"', 'target weight 1 g', 'coat ground', 'toner A 1', 'coat mid', 'toner C 99');
  expect(hints(text, 'F')).toEqual(['1.0 g → 1.0 g']);
  expect(hints('formula F "f"\n  toner A 1\n', 'F')).toEqual([]);
});
