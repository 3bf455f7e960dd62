/** A small shop as `.pour` text: toners whose truth is known, and opaque cards with the noise of a bench. */

import type { Component, TonerOptics } from '../../../../server/paint/mixture.ts';
import { Random, reading, simulatedFormula, simulatedToners } from '../../paint/simulated-book.ts';

export interface SimulatedShop {
  readonly toners: readonly TonerOptics[];
  readonly text: string;
}

const figures = (values: Float64Array): string => Array.from(values, (value) => value.toFixed(4)).join(' ');

export const tonerLines = (toners: readonly TonerOptics[], parts: readonly Component[]): string =>
  parts.map(({ toner, share }) => `  toner ${toners[toner]!.code} ${(100 * share).toFixed(3)}`).join('\n');

/** Toner entries, and for every formula a drawdown that was read at 45/0. */
export function simulatedShop(seed: number, size: number, cards: number): SimulatedShop {
  const random = new Random(seed);
  const toners = simulatedToners(random, size);
  const shelf = toners.map(
    ({ code, kind }) =>
      `toner ${code} "Toner ${code}"\n  system SB\n  kind ${kind}\n  density 1.1 g/ml\n  price 30 EUR/l\n`,
  );
  const drawn = Array.from({ length: cards }, (_, n) => {
    const formula = simulatedFormula(random, toners);
    return cardText(`C${n + 1}`, toners, formula, reading(toners, formula, random));
  });
  const head = 'book "Test shop"\n  language 1\n  illuminants D65/10 A/10 F11/10\n\nsystem SB "Solid"\n';
  return { toners, text: [head, ...shelf, ...drawn].join('\n') };
}

export const cardText = (
  id: string,
  toners: readonly TonerOptics[],
  formula: readonly Component[],
  reflectance: Float64Array,
  head = `drawdown ${id} "Card ${id}"\n  drawn 2026-09-01 by RO`,
): string => `${head}\n${tonerLines(toners, formula)}\n  spectrum 45/0 400..700/10 ${figures(reflectance)}\n`;

export const readingText = (id: string, reflectance: Float64Array): string =>
  `reading ${id} "Reading ${id}"\n  spectrum 45/0 400..700/10 ${figures(reflectance)}\n`;
