/** What is predicted of a formula, in the hover card: in italics, called predicted, never in the style of a measured figure. */
import { labFigures, plusMinusFigure } from '../../answers/number.ts';
import type { FormulaAnswer } from '../../answers/show-formula.ts';
import type { Book } from '../../book/book.ts';
import type { Toner } from '../../book/entries/toner.ts';
import { shopOf } from '../../book/known.ts';
import { opticsOf } from '../../book/optics/optics.ts';
import { SIDES } from '../../book/optics/samples.ts';
import { hidingLines } from '../text/predicted.ts';

export function predictedPart(book: Book, answer: FormulaAnswer): string {
  if (answer.predictedState === 'none') return `*Nothing is predicted: ${escaped(answer.predictedNote)}.*`;
  const main = shopOf(book).viewings[0]!;
  const shown = answer.predicted.filter((one) => one.illuminant === main.illuminant && one.observer === main.observer);
  const colours = shown.map(
    ({ geometry, lab, plusMinus }) =>
      `${geometry} ~${labFigures(lab, 0).join(' ')} ± ${plusMinusFigure(plusMinus)} dE00`,
  );
  const state = answer.predictedState === 'recomputing' ? '; recomputing' : '';
  const doubt = answer.uncertain.length > 0 ? ` Too little is known of ${answer.uncertain.join(', ')}.` : '';
  const lines = [
    `Predicted (${answer.predictedNote}${state}): L\\* a\\* b\\* ${colours.join('; ')} (${main.illuminant}/${main.observer}).${doubt}`,
    ...hidingLines(answer).map(escaped),
  ];
  return lines.map((text) => `*${text}*`).join('\n\n');
}

/** How well a toner is known, a line for each side of it that the cards tell of. */
export function learnedLines(book: Book, { code, system }: Pick<Toner, 'code' | 'system'>): string[] {
  return SIDES.flatMap((side) => {
    const { state, learned } = opticsOf(book, system ?? '', side);
    const toner = learned?.toners.find((one) => one.code === code);
    if (!toner || state === 'none') return [];
    const facts = [
      `${toner.cards} ${toner.cards === 1 ? 'card' : 'cards'}, ${toner.mixtures} of them mixtures`,
      toner.leftOut === null ? '' : `each predicted without itself ${toner.leftOut.toFixed(1)} dE00 off`,
      toner.plusMinus === null ? '' : `± ${plusMinusFigure(toner.plusMinus)}`,
      toner.uncertain ? `uncertain: ${toner.uncertain}` : '',
      state === 'recomputing' ? 'recomputing' : '',
    ];
    return [`*${side} colours, learned: ${facts.filter(Boolean).join('; ')}*`];
  });
}

const escaped = (text: string): string => text.replaceAll('*', '\\*');
