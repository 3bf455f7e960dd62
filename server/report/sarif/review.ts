/** A review as SARIF: what must not be overlooked, and every formula whose colour moves, at its head. */

import type { Review } from '../../review/review.ts';
import type { Grade } from '../../review/verdict.ts';
import { type SarifResult, type SarifRule, sarifText } from './sarif.ts';

const LEVELS: Partial<Record<Grade, SarifResult['level']>> = {
  visible: 'warning',
  'needs a spray-out': 'warning',
  'within tolerance': 'note',
  new: 'note',
};

const RULES: readonly SarifRule[] = [
  { id: 'colour-visible', text: 'The colour of a formula moves beyond the tolerance' },
  { id: 'colour-needs-a-spray-out', text: 'No card or prediction tells what a change does to the colour' },
  { id: 'colour-within-tolerance', text: 'The colour of a formula moves within the tolerance' },
  { id: 'colour-new', text: 'A formula is new' },
  { id: 'standard-moved', text: 'A formula fits only because its standard was moved' },
  { id: 'tolerance-moved', text: 'A formula fits only because the tolerance was moved' },
  { id: 'expectation-dropped', text: 'An expectation that did not hold is no longer stated' },
  { id: 'expectation-fails', text: 'An expectation does not hold any more' },
  { id: 'approval-is-of-the-earlier-paint', text: 'An approval was said of the earlier paint' },
  { id: 'approved-without-a-card', text: 'A formula was approved and no card shows it' },
  { id: 'voc-above-the-limit', text: 'The VOC of a formula comes to be above its limit' },
];

const ruleOf = (words: string): string => words.toLowerCase().replaceAll(' ', '-');

export function reviewSarif({ formulas }: Review): string {
  const results = formulas.flatMap(({ id, grade, sentence, callOuts, place, was }): SarifResult[] => {
    // What was taken out has no line to point at.
    if (was === 'removed') return [];
    const level = LEVELS[grade];
    return [
      ...callOuts.map(({ what, text }) => ({
        rule: ruleOf(what),
        level: 'error' as const,
        message: `${id}: ${text}`,
        ...place,
      })),
      ...(level ? [{ rule: `colour-${ruleOf(grade)}`, level, message: `${id}: ${sentence}`, ...place }] : []),
    ];
  });
  return sarifText(results, RULES);
}
