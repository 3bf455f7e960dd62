/** A correction for a terminal. */
import type { AdditionsAnswer, CorrectAnswer } from '../../answers/correct.ts';
import { signed } from './figures.ts';
import { table } from './table.ts';

export function correctText(answer: CorrectAnswer): string {
  const rows = answer.revised.toners.map(({ code, parts, delta }, n) => [
    code,
    parts.toFixed(2),
    signed(delta, 2),
    signed(answer.part.toners[n]!.delta, 2),
  ]);
  return [
    `${answer.formula} by ${answer.cards.join(', ')} against ${answer.standard}: ${answer.before.toFixed(1)} dE00 off, measured.`,
    answer.advice,
    ...recomputing(answer.state),
    `Predicted after the whole change ${answer.revised.after.toFixed(1)}, after ${Math.round(answer.part.of * 100)} % of it ${answer.part.after.toFixed(1)} dE00:`,
    table(
      [['toner', 'parts', 'change', `${Math.round(answer.part.of * 100)} %`], ...rows],
      ['left', 'right', 'right', 'right'],
    ),
    answer.take === 'spray again' ? 'If the next card says the same, as a variant:' : 'As a variant:',
    answer.variant,
  ].join('\n');
}

export function additionsText(answer: AdditionsAnswer): string {
  const rows = answer.additions.map(({ toner, grams }) => [toner, `${grams} g`]);
  return [
    `Batch ${answer.batch} of ${answer.formula}, ${answer.inCup} g in the cup, to ${answer.standard}.`,
    answer.advice,
    ...recomputing(answer.state),
    ...(rows.length > 0 ? ['Add:', table(rows, ['left', 'right']), `  total ${answer.total} g`] : []),
  ].join('\n');
}

const recomputing = (state: CorrectAnswer['state']): string[] =>
  state === 'recomputing' ? ['The toners are being learned anew; this is from the last fit.'] : [];
