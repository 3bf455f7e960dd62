/** Sentences of a batch that terminal and panel share. */
import type { BatchAnswer, Choice } from './batch.ts';

const NAMES: Readonly<Record<Choice['kind'], string>> = {
  leave: 'leave it and finish',
  cheapest: 'make a little more, within tolerance',
  exact: 'make more, so that the ratios hold',
  'draw off': 'stir, take some out, finish',
  'start again': 'start again',
};

/** 0.9 ± 0.3 dE00 */
export const strayedText = ({ predicted, plusMinus }: Pick<Choice, 'predicted' | 'plusMinus'>): string =>
  predicted === null ? '' : `${predicted.toFixed(1)} ± ${(plusMinus ?? 0).toFixed(1)} dE00`;

/** What is to be known of the pot life in a warm booth. */
export const warmText = ({ booth, stated, when }: NonNullable<BatchAnswer['useByWarm']>): string =>
  `In a booth at ${booth} C count on less than the pot life stated at ${stated} C: about until ${when} (half for ten degrees, common practice; the data sheet decides).`;

/** A way out in a line: what is done, the new total, what it costs, and what stands in its way. */
export function choiceLine(choice: Choice): string {
  const { kind, total, removed, fits, late } = choice;
  const out = Number(removed) > 0 ? `, ${removed} g ${kind === 'start again' ? 'are lost' : 'out'}` : '';
  const colour = choice.predicted === null ? '' : `, predicted ${strayedText(choice)}`;
  return `${NAMES[kind]}: ${total} g${out}${colour}${fits ? '' : '; more than the cup takes'}${late === null ? '' : `; not now: ${late}`}`;
}
