import { type Rational, sum } from '../exact/rational.ts';

/** A mass of a liquid whose density is known. */
export interface Liquid {
  readonly code: string;
  readonly grams: Rational;
  /** g/ml, above zero. */
  readonly density: Rational;
}

/** Millilitres of the liquids together. Volumes are added; the contraction on mixing, usually below one per cent, is left out. */
export function volumeOfMix(liquids: readonly Liquid[]): Rational {
  return sum(liquids.map(({ grams, density }) => grams.div(density)));
}

export function massOfMix(liquids: readonly Liquid[]): Rational {
  return sum(liquids.map(({ grams }) => grams));
}

/** The density of the mix in g/ml: its mass over the sum of its volumes. @throws RangeError when there is nothing in it. */
export function densityOfMix(liquids: readonly Liquid[]): Rational {
  const millilitres = volumeOfMix(liquids);
  if (millilitres.lte(0)) throw new RangeError('an empty cup has no density');
  return massOfMix(liquids).div(millilitres);
}

/** The same mix, so much of it that it fills a volume. */
export function mixFilling(liquids: readonly Liquid[], millilitres: Rational): Liquid[] {
  const factor = millilitres.div(volumeOfMix(liquids));
  return liquids.map((liquid) => ({ ...liquid, grams: liquid.grams.mul(factor) }));
}

/** Volume solids of a mix, 0..1, from those of its liquids. */
export function volumeSolidsOfMix(liquids: readonly (Liquid & { readonly volumeSolids: Rational })[]): Rational {
  const solid = sum(liquids.map(({ grams, density, volumeSolids }) => grams.div(density).mul(volumeSolids)));
  return solid.div(volumeOfMix(liquids));
}
