import { describe, expect, it } from 'vitest';
import type { Lab } from '../../../server/colour/lab.ts';
import { ASSUMED, differenceError } from '../../../server/paint/effect-difference.ts';
import type { EffectCard } from '../../../server/paint/effect-fit.ts';
import type { LeftOut } from '../../../server/paint/effect-uncertainty.ts';

const angles = [0, 1, 2, 3, 4];
const card = (toners: number[], more: Partial<EffectCard> = {}): EffectCard => ({
  toners,
  shares: toners.map(() => 0.2),
  thickness: 1,
  undercoat: [],
  angles,
  reflectance: [],
  ...more,
});

/** A card that read `read` and was predicted `predicted`, L* at every angle. */
const left = (place: number, read: number, predicted: number): LeftOut => ({
  card: place,
  kind: 'flake',
  dE00: [],
  spread: [],
  read: angles.map((): Lab => [read, 0, 0]),
  predicted: angles.map((): Lab => [predicted, 0, 0]),
});

describe('± of a difference of effect colours', () => {
  it('is nothing where all cards are off alike, however far', () => {
    const cards = [card([0, 1]), card([0, 1]), card([1, 0])];
    const off = [left(0, 50, 60), left(1, 55, 65), left(2, 60, 70)];
    expect(differenceError(cards, off)).toEqual({ pairs: 15, part: 0 });
  });

  it('is the part by which predicted differences miss the read ones', () => {
    // Read 50, 60 and 70, predicted at four fifths of the way: each difference misses a fifth of itself.
    const cards = [card([0, 1]), card([0, 1]), card([0, 1])];
    const found = differenceError(cards, [left(0, 50, 50), left(1, 60, 58), left(2, 70, 66)]);
    expect(found.part).toBeGreaterThan(0.18);
    expect(found.part).toBeLessThan(0.22);
  });

  it('takes no pair of other toners, none that the gun alone may explain, and no steps of a panel', () => {
    const off = [left(0, 50, 50), left(1, 60, 50), left(2, 70, 50)];
    expect(differenceError([card([0, 1]), card([0, 2]), card([0, 1, 2])], off)).toEqual(ASSUMED);
    const same = [card([0, 1]), card([0, 1]), card([0, 1])];
    expect(differenceError(same, [left(0, 50, 50), left(1, 50.5, 60), left(2, 51, 70)])).toEqual(ASSUMED);
    const steps = same.map((one) => ({ ...one, panel: 0 }));
    expect(differenceError(steps, off)).toEqual(ASSUMED);
  });

  it('is assumed while too few pairs tell', () => {
    expect(differenceError([], [])).toEqual(ASSUMED);
    expect(differenceError([card([0]), card([0])], [left(0, 50, 50), left(1, 60, 60)])).toEqual(ASSUMED);
  });
});
