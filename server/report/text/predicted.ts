/** What is predicted of a formula, for a terminal: always called so, and with its ±. */
import { labFigures, plusMinusFigure } from '../../answers/number.ts';
import type { NamedGrey, PredictedAnswer, ShownGrey } from '../../answers/predicted.ts';
import type { StepPanel } from '../../answers/step-panel.ts';
import { notes, signed } from './figures.ts';
import { table } from './table.ts';

export function predictedText(answer: PredictedAnswer & { readonly stepPanel: StepPanel | null }): string[] {
  if (answer.predictedState === 'none') return [`Nothing is predicted: ${answer.predictedNote}.`];
  const rows = answer.predicted.map(({ geometry, illuminant, observer, lab, plusMinus }) => [
    geometry,
    `${illuminant}/${observer}`,
    ...labFigures(lab, 1).map((value) => `~${value}`),
    `± ${plusMinusFigure(plusMinus)}`,
  ]);
  const doubt = answer.predictedState === 'recomputing' ? ', recomputing since a card has changed' : '';
  return [
    `Predicted, not measured (${answer.predictedNote}${doubt}); 9 of 10 cards fall within ± dE00:`,
    table(
      [['angle', 'light', 'L*', 'a*', 'b*', 'dE00'], ...rows],
      ['left', 'left', 'right', 'right', 'right', 'right'],
    ),
    ...notes(
      answer.uncertain.length > 0
        ? [`the book knows too little of ${answer.uncertain.join(', ')} to rely on this`]
        : [],
    ),
    ...hidingLines(answer),
    ...stepLines(answer.stepPanel),
    ...tintLines(answer),
  ];
}

/** `about 3 coats`; broken coats are sprayed as whole ones. */
export const coatsWords = (coats: number | null): string =>
  coats === null ? 'no number of coats hides' : `about ${coatsFigure(coats)}`;

const coatsFigure = (coats: number): string => {
  const whole = Math.max(1, Math.round(coats * 2) / 2);
  return `${whole} ${whole === 1 ? 'coat' : 'coats'}`;
};

export const greyWords = ({ munsellValue, lightness }: ShownGrey): string =>
  `N${Number(munsellValue.toFixed(1))} (L* ${lightness.toFixed(0)})`;

const namedWords = (named: NamedGrey): string =>
  named.formula === null ? greyWords(named) : `formula ${named.formula} (L* ${named.lightness.toFixed(0)})`;

/** Tenths of a coat mean nothing: whole coats are sprayed. */
const WORTH_A_WORD = 0.5;

function costWords({ formula, moreCoats, factor, moreGramsPerSquareMetre }: NamedGrey): string {
  const grams = moreGramsPerSquareMetre === null ? '' : `, about ${moreGramsPerSquareMetre} g of paint on each m2`;
  return `${formula === null ? 'The named grey' : 'That undercoat'} costs ${moreCoats!.toFixed(1)} coats more than the best grey (${factor!.toFixed(1)} times as much)${grams}, predicted.`;
}

/** Sentences on hiding, shared with the hover card. */
export function hidingLines(answer: PredictedAnswer): string[] {
  const { namedGrey, bestGrey } = answer;
  const lines: string[] = [];
  const relative = answer.coatsRelative ? ' (relative: no film of known thickness was read)' : '';
  if (namedGrey)
    lines.push(
      `Hides over ${namedWords(namedGrey)}, predicted: ${coatsWords(namedGrey.coats)}${relative}; a card decides.`,
    );
  if (answer.undercoatNote) lines.push(answer.undercoatNote);
  if (bestGrey) lines.push(`Best grey, predicted: ${greyWords(bestGrey)}, ${coatsWords(bestGrey.coats)}.`);
  if (namedGrey || bestGrey) lines.push(...anywhereLines(answer));
  if (namedGrey?.moreCoats && namedGrey.moreCoats >= WORTH_A_WORD) lines.push(costWords(namedGrey));
  if (!bestGrey && namedGrey?.coats === null) lines.push('It hides over no grey: use a ground of a near colour.');
  return lines;
}

/** Whatever is below: for who sprays over a spot repair of several greys. */
function anywhereLines({ coatsOverAny, contrastRatio }: PredictedAnswer): string[] {
  const coats = coatsOverAny === null ? 'in no number of coats' : `from ${coatsWords(coatsOverAny)} on`;
  const ratio = contrastRatio === null ? '' : ` Contrast ratio of one coat: ${contrastRatio.toFixed(2)}.`;
  return [`Over black and white alike, predicted: ${coats}.${ratio}`];
}

function stepLines(panel: StepPanel | null): string[] {
  if (!panel) return [];
  const told = (steps: StepPanel['measured'], how: string): string[] =>
    steps.flatMap(({ coats, worst, card }) =>
      worst
        ? [
            `  ${coats} mid ${coats === 1 ? 'coat' : 'coats'}, ${how}: worst ${worst.dE00.toFixed(1)} dE00 at ${worst.geometry}${card ? ` (${card})` : ''}`,
          ]
        : [],
    );
  const lines = [...told(panel.measured, 'measured'), ...told(panel.predicted, 'predicted')];
  lines.push(...oneMoreLines(panel));
  if (lines.length === 0) return [];
  return [`Mid coats${panel.nearest === null ? '' : `: ${panel.nearest} comes nearest to the standard`}`, ...lines];
}

function oneMoreLines({ oneMore }: StepPanel): string[] {
  if (!oneMore || oneMore.angles.length === 0) return [];
  const { from, basis, angles } = oneMore;
  const rows = angles.map(({ geometry, dL, dE00, direction }) => [geometry, signed(dL, 1), dE00.toFixed(1), direction]);
  return [
    `  One mid coat more, from ${from} to ${from + 1}, ${basis}:`,
    table([['angle', 'dL*', 'dE00', ''], ...rows], ['left', 'right', 'right', 'left']),
  ];
}

function tintLines({ tints }: PredictedAnswer): string[] {
  if (tints.length === 0) return [];
  const rows = tints.map((tint) => [
    tint.coat === null ? tint.toner : `${tint.coat} ${tint.toner}`,
    `${tint.dE.toFixed(1)}${tint.plusMinus === null ? '' : ` ± ${plusMinusFigure(tint.plusMinus)}`}`,
    tint.words,
  ]);
  return [
    'One per cent of the batch more, predicted:',
    table([['toner', 'dE00', ''], ...rows], ['left', 'right', 'left']),
  ];
}
