/** The ± of a predicted shift from one paint to another, where the errors of the fit tell it. */

import { type Viewing, viewingText } from '../../colour/viewing.ts';
import { lightFor } from '../../paint/light.ts';
import { colourShift } from '../../paint/shift.ts';
import { GRID } from './grid.ts';
import type { Learned } from './learn.ts';
import type { Paint } from './predicted.ts';

/**
 * dE00 within which the true shift falls 9 times of 10, by how large the shift is predicted at an angle. The errors of a solid fit tell
 * it for the two paints alike at any size; of effect colours it is known as a part of the difference, from pairs of cards. Undefined for
 * paints that two fits know (their errors are not of one kind), and where the two are looked at differently.
 */
export function shiftPlusMinus(before: Paint, after: Paint, viewing: Viewing): ((dE00: number) => number) | undefined {
  if (!sameFit(before.learned, after.learned)) return undefined;
  if (before.side === 'effect' && after.side === 'effect') {
    const { part } = after.optics.differences;
    return (dE00) => part * dE00;
  }
  if (before.side !== 'solid' || after.side !== 'solid' || before.geometry !== after.geometry) return undefined;
  const { fit, model } = after.optics;
  const light = lightFor(viewingText(viewing), GRID.start, GRID.step, GRID.count);
  // The key is of the cards: two versions of a book that share it number their toners alike.
  const { plusMinus } = colourShift(fit, model, before, after, light);
  return Number.isFinite(plusMinus) ? () => plusMinus : undefined;
}

/** Two fits of the same cards with the same figures: another version of the program, or a hand, may have written other ones. */
export function sameFit(a: Learned, b: Learned): boolean {
  if (a === b) return true;
  if (a.key !== b.key) return false;
  const known = compared.get(a);
  if (known?.with === b) return known.same;
  const same = JSON.stringify(a) === JSON.stringify(b);
  compared.set(a, { with: b, same });
  return same;
}

/** Fits are large, and asked of for every formula. */
const compared = new WeakMap<Learned, { readonly with: Learned; readonly same: boolean }>();
