import { expect, it } from 'vitest';
import { pourOrder } from '../../../server/answers/pour-order.ts';
import { bookOf } from '../book/marked.ts';

const BOOK = `
toner ALU-C "Coarse aluminium"
  kind flake
toner BLK-1 "Black"
  kind black
toner GRN-2 "Green"
  kind transparent
toner VIO-1 "Violet"
  kind transparent
toner BND-0 "Binder"
  kind binder
toner HRD "Hardener"
  kind hardener

formula SAM-31 "Samphire Green"
  toner HRD 5
  toner ALU-C 22.60
  toner BLK-1 1.25
  toner VIO-1 10
  toner GRN-2 41.20
  toner BND-0 34.95
`;

it('puts the large and weak first, the small and strong early, flakes late and hardener last, each with its reason', () => {
  const book = bookOf(BOOK);
  const order = pourOrder(book, book.find('formula', 'SAM-31')!);
  expect(order.map((one) => one.toner)).toEqual(['GRN-2', 'BND-0', 'BLK-1', 'VIO-1', 'ALU-C', 'HRD']);
  expect(order[2]!.reason).toContain('can still be saved by scaling the rest');
  expect(order.at(-1)!.reason).toContain('pot life');
});
