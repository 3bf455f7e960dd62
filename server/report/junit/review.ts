import { VISIBLE } from '../../review/fail.ts';
import type { FormulaReview } from '../../review/formula.ts';
import type { Review } from '../../review/review.ts';
import { differing, factsOf, remarksOf, unreadText } from '../review-facts.ts';
import { factText } from '../text/review.ts';
import { type Case, junitText } from './junit.ts';

/** A suite per formula: its colour, and a case for everything that must not be overlooked. */
export function reviewJUnit({ formulas, unread, before, after }: Review): string {
  const suites = formulas.map((one) => ({
    name: one.id,
    cases: [colour(one), ...one.callOuts.map((out) => overlooked(one, out))],
  }));
  const all = [
    ...(unread.length > 0 ? [{ name: 'lines that cannot be read', cases: unread.map(unreadable) }] : []),
    ...suites,
  ];
  const none = { name: 'the book', cases: [{ name: 'no formula changed', place: '' }] };
  return junitText(`pourbook review ${before}..${after}`, all.length > 0 ? all : [none]);
}

const placeOf = ({ place }: FormulaReview): string => `${place.file}:${place.line}`;

function colour(one: FormulaReview): Case {
  const fails = VISIBLE.has(one.grade);
  const said = [one.sentence, ...differing(factsOf(one)).map(factText), ...remarksOf(one)].join('\n');
  return {
    name: 'colour',
    place: placeOf(one),
    ...(fails ? { failure: { type: one.grade, message: one.sentence, text: said } } : { said }),
  };
}

function unreadable(one: Review['unread'][number]): Case {
  const place = `${one.file}:${one.line}`;
  return { name: place, place, failure: { type: 'cannot be read', message: one.problem, text: unreadText(one) } };
}

const overlooked = (one: FormulaReview, { what, text }: FormulaReview['callOuts'][number]): Case => ({
  name: what,
  place: placeOf(one),
  failure: { type: what, message: text, text },
});
