/** A derivation for a terminal. */
import type { Derivation } from '../../answers/derivation.ts';

export const whyText = (one: Derivation): string =>
  [
    `${one.figure} = ${one.value} (${one.basis})`,
    ...one.steps.map((step) => `  ${step.text}${step.place ? `  (${step.place})` : ''}`),
  ].join('\n');
