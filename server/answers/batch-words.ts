/** Sentences of a batch that terminal and panel share. */
import { strayedText } from '../book/rescue.ts';
import type { BatchAnswer, Choice } from './batch.ts';

const NAMES: Readonly<Record<Choice['kind'], string>> = {
  leave: 'leave it and finish',
  cheapest: 'make a little more, within tolerance',
  exact: 'make more, so that the ratios hold',
  'draw off': 'stir, take some out, finish',
  'start again': 'start again',
};

export const predictedText = ({ predicted, plusMinus }: Pick<Choice, 'predicted' | 'plusMinus'>): string =>
  predicted === null ? '' : strayedText({ dE00: predicted, plusMinus: plusMinus ?? 0 });

/** What is to be known of the pot life in a warm booth. */
export const warmText = ({ booth, stated, when }: NonNullable<BatchAnswer['useByWarm']>): string =>
  `In a booth at ${booth} C count on less than the pot life stated at ${stated} C: about until ${when} (half for ten degrees, common practice; the data sheet decides).`;

/** A way out in a line: what is done, the new total, what it costs, and what stands in its way. */
export function choiceLine(choice: Choice): string {
  const { kind, total, removed, fits, late } = choice;
  const out = Number(removed) > 0 ? `, ${removed} g ${kind === 'start again' ? 'are lost' : 'out'}` : '';
  const colour = choice.predicted === null ? '' : `, predicted ${predictedText(choice)}`;
  return `${NAMES[kind]}: ${total} g${out}${colour}${fits ? '' : '; more than the cup takes'}${late === null ? '' : `; not now: ${late}`}`;
}
