/** A batch for a terminal: what comes next first, then the pours, then the ways out. */
import type { BatchAnswer, Choice } from '../../answers/batch.ts';
import { choiceLine, predictedText, warmText } from '../../answers/batch-words.ts';
import { costText, stocksText, takenText } from './mix.ts';
import { table } from './table.ts';

export function batchText(batch: BatchAnswer): string {
  const lines = [`batch ${batch.id} of ${batch.formula}, ${batch.make} g, scale ${batch.scale}`, stateText(batch)];
  if (batch.poured.length > 0)
    lines.push(
      '',
      table(
        [
          ['toner', 'poured g', 'running g', 'sheet g', 'off g', ''],
          ...batch.poured.map((row) => [
            row.toner,
            row.grams,
            row.cumulative,
            row.planned ?? '',
            row.off === null ? '' : signed(row.off),
            [row.kind === 'pour' ? '' : row.kind, row.stirred === false ? 'not stirred' : '']
              .filter(Boolean)
              .join(', '),
          ]),
        ],
        ['left', 'right', 'right', 'right', 'right', 'left'],
      ),
    );
  if (batch.evaporated) lines.push(`${batch.evaporated} g evaporated: put as much reducer back, and close the lid.`);
  if (batch.choices.length > 0) lines.push('', 'Ways out:', ...batch.choices.flatMap(choiceText));
  if (batch.leftover) lines.push('', ...leftoverText(batch.leftover));
  const money = moneyText(batch);
  if (money.length > 0) lines.push('', ...money);
  if (batch.useBy) lines.push('', `${batch.hardener ? 'Pot life ends' : 'Keeps until'} ${batch.useBy}.`);
  if (batch.useByWarm) lines.push(warmText(batch.useByWarm));
  return lines.join('\n');
}

/** A closed batch may be counted in the stock of the book already, so only what it took is said. */
function moneyText({ cost, stock, closed }: BatchAnswer): string[] {
  const taken = takenText(stock);
  return [
    ...costText(cost, 'what was poured'),
    ...(closed ? (taken === '' ? [] : [`Taken from the shelf: ${taken}.`]) : stocksText(stock)),
  ];
}

const signed = (off: string): string => (off.startsWith('-') || Number(off) === 0 ? off : `+${off}`);

function stateText(batch: BatchAnswer): string {
  if (batch.closed)
    return `Closed ${batch.closed.when}${batch.closed.by ? ` by ${batch.closed.by}` : ''}, ${batch.inCup} g.`;
  if (batch.next)
    return `Next: pour ${batch.next.toner} until the scale shows ${batch.next.cumulative} g (${batch.next.grams} g). In the cup: ${batch.inCup} g.`;
  const colour = batch.predicted === null ? '' : ` Predicted: ${predictedText(batch)} from the formula.`;
  return `All in: ${batch.inCup} g.${colour}`;
}

const choiceText = (choice: Choice): string[] =>
  [
    `  ${choiceLine(choice)}`,
    choice.late === null
      ? table(
          choice.additions.map(({ toner, grams, cumulative }) => [toner, grams, cumulative]),
          ['left', 'right', 'right'],
          '    ',
        )
      : '',
  ].filter(Boolean);

function leftoverText({ batch, grams, least, needs }: NonNullable<BatchAnswer['leftover']>): string[] {
  if (!needs) return [`${grams} g of ${batch} cannot become this formula.`];
  return [
    `Onto ${grams} g of ${batch} (all of it takes at least ${least} g):`,
    table(
      needs.map((one) => [one.toner, one.grams, one.cumulative]),
      ['left', 'right', 'right'],
    ),
  ];
}
