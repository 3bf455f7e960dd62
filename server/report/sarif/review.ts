/** A review as SARIF: what must not be overlooked, and every formula whose colour moves, at its head. */

import type { CallOut } from '../../review/call-outs.ts';
import type { Review } from '../../review/review.ts';
import type { Grade } from '../../review/verdict.ts';
import { type SarifResult, type SarifRule, sarifText } from './sarif.ts';

const LEVELS: Partial<Record<Grade, SarifResult['level']>> = {
  'cannot be read': 'error',
  'cannot be mixed': 'error',
  visible: 'warning',
  'needs a spray-out': 'warning',
  'within tolerance': 'note',
  new: 'note',
};

const OVERLOOKED: Readonly<Record<CallOut['what'], string>> = {
  'names what is gone': 'A formula names an undercoat, standard or system that is no longer in the book',
  'standard moved': 'A formula fits only because its standard was moved',
  'tolerance moved': 'A formula fits only because the tolerance was moved',
  'standard taken out': 'A formula whose card was held against a standard names none any more',
  'expectation dropped': 'An expectation that does not hold is no longer stated',
  'expectation loosened': 'An expectation holds only because it was loosened',
  'expectation fails': 'An expectation does not hold any more',
  'expectation left open': 'An expectation can be held against nothing any more',
  'undercoat mixed otherwise': 'The undercoat of a formula is the same grey by name and mixed otherwise',
  'card rewritten': 'A card says other parts than before, so that it seems to show the new paint',
  'approval is of the earlier paint': 'An approval was said of the earlier paint',
  'approved without a card': 'A formula was approved and no card shows it',
  'approved beyond the tolerance': 'A formula was approved whose card is beyond the tolerance',
  'VOC above the limit': 'The VOC of a formula comes to be above its limit',
};

const ruleOf = (words: string): string => words.toLowerCase().replaceAll(' ', '-');

const RULES: readonly SarifRule[] = [
  { id: 'line-cannot-be-read', text: 'A line that came with the change cannot be read' },
  { id: 'colour-cannot-be-read', text: 'Lines that a formula hangs on cannot be read' },
  { id: 'colour-cannot-be-mixed', text: 'A formula lacks its parent or a toner' },
  { id: 'colour-visible', text: 'The colour of a formula moves beyond the tolerance' },
  { id: 'colour-needs-a-spray-out', text: 'No card or prediction tells what a change does to the colour' },
  { id: 'colour-within-tolerance', text: 'The colour of a formula moves within the tolerance' },
  { id: 'colour-new', text: 'A formula is new' },
  ...Object.entries(OVERLOOKED).map(([what, text]) => ({ id: ruleOf(what), text })),
];

export function reviewSarif({ formulas, unread }: Review): string {
  const unreadable = unread.map(
    ({ file, line, text, problem }): SarifResult => ({
      rule: 'line-cannot-be-read',
      level: 'error',
      message: `This line cannot be read, and what it says is in no figure of the review: "${text}". ${problem}`,
      file,
      line,
    }),
  );
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
  return sarifText([...unreadable, ...results], RULES);
}
