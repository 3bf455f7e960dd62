/** Ids in the order in which people count: numbers in them by their size. */
import fc from 'fast-check';
import { expect, it } from 'vitest';
import { inNumberOrder } from '../../../server/review/number-order.ts';

it('counts', () => {
  const ids = ['BRK-10', 'BRK-2', 'BRK-2/dark', 'BRK-1', 'APL-3', 'BRK', '2026-10-14-B', '2026-9-30-A'];
  expect(ids.sort(inNumberOrder)).toEqual([
    '2026-9-30-A',
    '2026-10-14-B',
    'APL-3',
    'BRK',
    'BRK-1',
    'BRK-2',
    'BRK-2/dark',
    'BRK-10',
  ]);
});

const id = fc.stringMatching(/^[AB]{0,2}-?[0-3]{0,3}[/a]?[01]{0,2}$/);

it('is an order', () => {
  fc.assert(
    fc.property(id, id, id, (a, b, c) => {
      expect(Math.sign(inNumberOrder(a, b))).toBe(-Math.sign(inNumberOrder(b, a)) || 0);
      expect(inNumberOrder(a, b) === 0).toBe(a === b);
      if (inNumberOrder(a, b) < 0 && inNumberOrder(b, c) < 0) expect(inNumberOrder(a, c)).toBeLessThan(0);
    }),
    { numRuns: 3000 },
  );
});
