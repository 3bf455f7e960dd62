/** Formulas that were found for a reading, for a terminal. */
import type { FormulateAnswer, Solution } from '../../answers/formulate.ts';
import { plusMinusFigure } from '../../answers/number.ts';
import { notes } from './figures.ts';
import { coatsWords } from './predicted.ts';
import { table } from './table.ts';

export function formulateText(answer: FormulateAnswer): string {
  const state =
    answer.state === 'recomputing' ? ' The toners are being learned anew; these are from the last fit.' : '';
  return [
    `Formulas for ${answer.reading}${answer.system ? ` in ${answer.system}` : ''}${overWords(answer.over)}, predicted, not sprayed.${state}`,
    ...answer.solutions.flatMap((solution, n) => solutionText(answer, solution, n + 1)),
    ...answer.undetermined.map(({ light, apart }) => `Under ${light} these part by up to ${apart.toFixed(1)} dE00.`),
    ...notes(answer.notes),
  ].join('\n');
}

/** What they are sprayed on, and how thick. */
function overWords(over: FormulateAnswer['over']): string {
  if (!over) return '';
  if (over.coats === null) return `, to be sprayed over ${over.undercoat}`;
  const film = over.film === null ? '' : ` (${over.film} um)`;
  return ` in ${over.coats} ${over.coats === 1 ? 'coat' : 'coats'}${film} over ${over.undercoat}`;
}

const hidesIn = (coats: number | null): string =>
  coats === null ? 'no number of coats hides' : `${coatsWords(coats)} to hide`;

function solutionText(answer: FormulateAnswer, one: Solution, number: number): string[] {
  const facts = [
    `${one.dE00.toFixed(1)} dE00 ± ${plusMinusFigure(one.plusMinus)}${one.dE00 > answer.tolerance ? ` (more than the ${answer.tolerance} that is allowed)` : ''}`,
    `worst ${one.worst.dE00.toFixed(1)} at ${one.worst.geometry} under ${one.worst.illuminant}`,
    ...(one.metamerism === null ? [] : [`up to ${one.metamerism.toFixed(1)} under other lights`]),
    ...(answer.over ? [`over ${answer.over.undercoat} ${hidesIn(one.coatsOver)}`] : []),
    `${answer.over ? 'best ' : ''}${coatsWords(one.coats)}${one.bestGrey ? ` over N${one.bestGrey.munsellValue}` : ''}`,
    ...(one.cost === null ? [] : [`${one.cost.toFixed(2)} ${answer.currency ?? ''} for 1 kg`.replace(/ +/g, ' ')]),
    ...(one.voc === null ? [] : [`VOC ${one.voc.toFixed(0)} g/l`]),
  ];
  return [
    `${number}. ${facts.join('; ')}`,
    table(
      one.toners.map(({ code, parts }) => [code, parts.toFixed(2)]),
      ['left', 'right'],
      '     ',
    ),
  ];
}
