import { describe, expect, it } from 'vitest';
import { type CardColours, doubtIn, furthestApart } from '../../../server/answers/correct-doubt.ts';

/** Three angles; the last is a dark flop. */
const card = (id: string, face: number, body: number, flop: number): CardColours => ({
  id,
  labs: [
    [face, 0, 0],
    [body, 0, 0],
    [flop, 0, 0],
  ],
});
const off = (...dE00: number[]) => ['45as15', '45as45', '45as110'].map((geometry, a) => ({ geometry, dE00: dE00[a]! }));

describe('cards that differ by more than a correction is worth', () => {
  it('one card is no ground for doubt', () => {
    expect(furthestApart([card('A', 100, 50, 20)])).toBeUndefined();
    expect(doubtIn([card('A', 100, 50, 20)], off(1, 1, 1), 0.5)).toBeUndefined();
  });

  it('over all angles: the two that are furthest apart are named', () => {
    const cards = [card('A', 100, 50, 20), card('B', 101, 51, 21), card('C', 104, 54, 24)];
    const found = doubtIn(cards, off(3, 3, 3), 1)!;
    expect(found).toMatchObject({ cards: ['A', 'C'], geometry: null });
    expect(found.dE00).toBeCloseTo(furthestApart(cards)!.dE00, 12);
    expect(doubtIn(cards, off(9, 9, 9), 8)).toBeUndefined();
  });

  it('at the angle that is off most: cards that agree elsewhere are no help there', () => {
    const cards = [card('A', 100, 50, 20), card('B', 100, 50, 23)];
    // root mean square over the angles is about 1.2, less than the gain; at the flop they differ by 2
    expect(doubtIn(cards, off(0.5, 0.5, 1.5), 1.4)).toMatchObject({ cards: ['A', 'B'], geometry: '45as110' });
    expect(doubtIn(cards, off(0.5, 2.5, 1.5), 1.4)).toBeUndefined();
  });
});
