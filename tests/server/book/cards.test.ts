import { expect, test } from 'vitest';
import { cardsOf } from '../../../server/book/cards.ts';
import { bookOf } from './marked.ts';

const BOOK = `
toner WHT-1 "White"
toner PRL-3 "Pearl"

formula PRL-7 "Oyster"
  coat ground
  toner WHT-1 100
  coat mid coats 2
  toner PRL-3 18
  toner WHT-1 82
`;

const card = (id: string, pearl: number, coats: string) => `
sprayout ${id} of PRL-7
  coat ground
  toner WHT-1 50
  coat mid ${coats}
  toner PRL-3 ${pearl}
  toner WHT-1 ${100 - pearl}
`;

const standings = (text: string) => {
  const book = bookOf(text);
  return Object.fromEntries(cardsOf(book, book.find('formula', 'PRL-7')!).map((one) => [one.card.id, one.standing]));
};

test('a card with another number of mid coats is a step of the panel, not the formula', () => {
  const text =
    BOOK +
    card('STEP-1', 18, 'coats 1') +
    card('STEP-2', 18, 'coats 2') +
    card('UNSAID', 18, '') +
    card('OLD', 20, 'coats 2');
  expect(standings(text)).toEqual({ 'STEP-1': 'step', 'STEP-2': 'current', UNSAID: 'current', OLD: 'earlier' });
});
