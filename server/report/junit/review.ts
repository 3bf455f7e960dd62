import type { FormulaReview } from '../../review/formula.ts';
import type { Review } from '../../review/review.ts';
import { differing, factsOf, remarksOf } from '../review-facts.ts';
import { factText } from '../text/review.ts';
import { type Case, junitText } from './junit.ts';

/** A suite per formula: its colour, and a case for everything that must not be overlooked. */
export function reviewJUnit({ formulas, before, after }: Review): string {
  const suites = formulas.map((one) => ({
    name: one.id,
    cases: [colour(one), ...one.callOuts.map((out) => overlooked(one, out))],
  }));
  const none = { name: 'the book', cases: [{ name: 'no formula changed', place: '' }] };
  return junitText(`pourbook review ${before}..${after}`, suites.length > 0 ? suites : [none]);
}

const placeOf = ({ place }: FormulaReview): string => `${place.file}:${place.line}`;

/** A grade of which a build has to tell. */
const FAILS: ReadonlySet<string> = new Set(['cannot be mixed', 'visible', 'needs a spray-out']);

function colour(one: FormulaReview): Case {
  const fails = FAILS.has(one.grade);
  const said = [one.sentence, ...differing(factsOf(one)).map(factText), ...remarksOf(one)].join('\n');
  return {
    name: 'colour',
    place: placeOf(one),
    ...(fails ? { failure: { type: one.grade, message: one.sentence, text: said } } : { said }),
  };
}

const overlooked = (one: FormulaReview, { what, text }: FormulaReview['callOuts'][number]): Case => ({
  name: what,
  place: placeOf(one),
  failure: { type: what, message: text, text },
});
