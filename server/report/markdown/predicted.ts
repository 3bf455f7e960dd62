/** What is predicted of a formula, in the hover card: in italics, called predicted, never in the style of a measured figure. */
import type { FormulaAnswer } from '../../answers/show-formula.ts';
import type { Book } from '../../book/book.ts';
import { shopOf } from '../../book/known.ts';
import { hidingLines } from '../text/predicted.ts';

export function predictedPart(book: Book, answer: FormulaAnswer): string {
  if (answer.predictedState === 'none') return `*Nothing is predicted: ${escaped(answer.predictedNote)}.*`;
  const main = shopOf(book).viewings[0]!;
  const shown = answer.predicted.filter((one) => one.illuminant === main.illuminant && one.observer === main.observer);
  const colours = shown.map(
    ({ geometry, lab, plusMinus }) =>
      `${geometry} ~${lab.map((value) => value.toFixed(0)).join(' ')} ± ${plusMinus.toFixed(1)} dE00`,
  );
  const state = answer.predictedState === 'recomputing' ? '; recomputing' : '';
  const doubt = answer.uncertain.length > 0 ? ` Too little is known of ${answer.uncertain.join(', ')}.` : '';
  const lines = [
    `Predicted (${answer.predictedNote}${state}): L\\* a\\* b\\* ${colours.join('; ')} (${main.illuminant}/${main.observer}).${doubt}`,
    ...hidingLines(answer).map(escaped),
  ];
  return lines.map((text) => `*${text}*`).join('\n\n');
}

const escaped = (text: string): string => text.replaceAll('*', '\\*');
