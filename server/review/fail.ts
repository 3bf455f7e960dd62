/** From which finding on a review fails in CI. Each level takes in the ones before it. */
import type { Review } from './review.ts';

/**
 * none: never. broken: a line that came with the change cannot be read, a formula cannot be mixed any more, an expectation stops holding, or something must not be overlooked (a standard moved or an expectation loosened so that a formula fits, nothing left to hold it against,
 * an approval of a paint that no card shows, a VOC that comes to be above its limit). visible: a formula's colour moves beyond the tolerance, or nobody knows and it needs a spray-out.
 * colour: any formula's colour changes. any: the book says anything else.
 */
export const FAIL_ON = ['none', 'broken', 'visible', 'colour', 'any'] as const;

export type FailOn = (typeof FAIL_ON)[number];

export function failsOn({ formulas, entries, unread }: Review, level: FailOn): boolean {
  const at = FAIL_ON.indexOf(level);
  const some = (...grades: readonly string[]) => formulas.some(({ grade }) => grades.includes(grade));
  return (
    (at >= 1 &&
      (unread.length > 0 || formulas.some(({ callOuts }) => callOuts.length > 0) || some('cannot be mixed'))) ||
    (at >= 2 && some('visible', 'needs a spray-out')) ||
    (at >= 3 && some('within tolerance', 'new', 'gone')) ||
    (at >= 4 && formulas.length + entries.length > 0)
  );
}
