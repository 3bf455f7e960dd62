/** The ± of a predicted shift from one paint to another, where the errors of the fit tell it. */
import { type Viewing, viewingText } from '../../colour/viewing.ts';
import { lightFor } from '../../paint/light.ts';
import { colourShift } from '../../paint/shift.ts';
import { GRID } from './grid.ts';
import type { Paint } from './predicted.ts';

/**
 * dE00 within which the true shift falls 9 times of 10. Undefined for effect colours, whose ± is known of single cards only, for paints
 * that two fits know (their errors are not of one kind), and where the two are looked at differently.
 */
export function shiftPlusMinus(before: Paint, after: Paint, viewing: Viewing): number | undefined {
  if (before.side !== 'solid' || after.side !== 'solid') return undefined;
  if (before.learned.key !== after.learned.key || before.geometry !== after.geometry) return undefined;
  const { fit, model } = after.optics;
  const light = lightFor(viewingText(viewing), GRID.start, GRID.step, GRID.count);
  // The key is of the cards: two versions of a book that share it number their toners alike.
  const { plusMinus } = colourShift(fit, model, before, after, light);
  return Number.isFinite(plusMinus) ? plusMinus : undefined;
}
