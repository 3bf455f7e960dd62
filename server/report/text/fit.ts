/** What was learned of the toners, for a terminal. */
import { plusMinusFigure } from '../../answers/number.ts';
import type { FitAnswer, SideFit } from '../../answers/optics-fit.ts';
import { table } from './table.ts';

export function fitText(answer: FitAnswer): string {
  const lines = answer.fits.flatMap(sideText);
  for (const { card, why } of answer.leftOut) lines.push(`Card ${card} is not learned from: ${why}.`);
  if (answer.advice) lines.push('', ...(answer.advice.length > 0 ? ['Next drawdowns:'] : ['No drawdown is wanted.']));
  for (const one of answer.advice ?? []) lines.push(`  ${one.text}`);
  return lines.join('\n');
}

const figure = (value: number | null): string => (value === null ? '–' : value.toFixed(2));

function sideText(fit: SideFit): string[] {
  const left = fit.leftOut
    ? `each predicted without itself: median ${fit.leftOut.median.toFixed(2)}, nine of ten within ${fit.leftOut.ninetieth.toFixed(2)} dE00`
    : 'none can be left out';
  const rows = fit.toners.map((toner) => [
    toner.code,
    toner.kind ?? '–',
    `${toner.cards}`,
    `${toner.mixtures}`,
    figure(toner.residual),
    figure(toner.leftOut),
    toner.plusMinus === null ? '–' : plusMinusFigure(toner.plusMinus),
    toner.uncertain ? `uncertain: ${toner.uncertain}` : '',
  ]);
  return [
    `${fit.system}, ${fit.side} colours: ${fit.cards} cards, ${left}${fit.state === 'ready' ? '' : ' (recomputing)'}`,
    table(
      [['toner', 'kind', 'cards', 'mixed', 'residual', 'left out', '±', ''], ...rows],
      ['left', 'left', 'right', 'right', 'right', 'right', 'right', 'left'],
    ),
    ...midLines(fit),
    ...(fit.films ? [] : ['  No film of known thickness was read: coats are relative.']),
    '',
  ];
}

function midLines({ mids }: SideFit): string[] {
  if (mids.length === 0) return [];
  const each = mids.map(({ formula, film }) => `${formula ?? 'a card of its own'} ${film.toFixed(1)} um`);
  return [`  One mid coat by step panels, dry: ${each.join(', ')}.`];
}
