/** From which finding on a review fails in CI. Each level takes in the ones before it. */
import type { Review } from './review.ts';
import type { Grade } from './verdict.ts';

/**
 * none: never.
 * broken: a line that came with the change cannot be read, a formula cannot be mixed any more, or something must not be overlooked (an
 * expectation stops holding, a standard was moved so that a formula fits, nothing is left to hold it against, no card shows what was
 * approved, a VOC comes to be above its limit).
 * visible: a formula's colour moves beyond the tolerance, or nobody knows and it needs a spray-out.
 * colour: any formula's colour changes.
 * any: the book says anything else.
 */
export const FAIL_ON = ['none', 'broken', 'visible', 'colour', 'any'] as const;

export type FailOn = (typeof FAIL_ON)[number];

/** Grades that fail from `visible` on, with those that fail before. */
export const VISIBLE: ReadonlySet<Grade> = new Set([
  'cannot be read',
  'cannot be mixed',
  'visible',
  'needs a spray-out',
]);

export function failsOn({ formulas, entries, unread }: Review, level: FailOn): boolean {
  const at = FAIL_ON.indexOf(level);
  const some = (...grades: readonly string[]) => formulas.some(({ grade }) => grades.includes(grade));
  return (
    (at >= 1 &&
      (unread.length > 0 || formulas.some(({ callOuts }) => callOuts.length > 0) || some('cannot be mixed'))) ||
    (at >= 2 && some(...VISIBLE)) ||
    (at >= 3 && some('within tolerance', 'new', 'gone')) ||
    (at >= 4 && formulas.length + entries.length > 0)
  );
}
