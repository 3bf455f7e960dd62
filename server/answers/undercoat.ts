/** How an undercoat is mixed to a grey: a measured step as listed, or computed between the measured steps. */

import type { Book } from '../book/book.ts';
import type { Undercoat } from '../book/entries/toner.ts';
import { type Grey, isOnScale } from '../book/entries/written.ts';
import { shopOf, undercoatNamed } from '../book/known.ts';
import { type Rational, rational, sum } from '../exact/rational.ts';
import { lightnessOfValue, valueOfLightness } from '../paint/munsell.ts';
import type { Surface } from '../paint/surface.ts';
import { greyMixture } from '../paint/undercoat.ts';

export interface GreyRecipe {
  readonly toners: readonly { readonly code: string; readonly parts: Rational }[];
  readonly basis: 'measured' | 'interpolated' | 'assumed';
}

export const lightnessOf = (grey: Grey): number => (grey.scale === 'N' ? lightnessOfValue(grey.value) : grey.value);

/** The grey as its Munsell neutral value and its L*. */
export function greyFigures(grey: Grey): { value: number; lightness: number } {
  const lightness = lightnessOf(grey);
  return { lightness, value: grey.scale === 'N' ? grey.value : valueOfLightness(lightness) };
}

/** The mixture for a grey; a sentence when it cannot be mixed. */
export function greyRecipe(book: Book, undercoatId: string, grey: Grey): GreyRecipe | string {
  const undercoat = undercoatNamed(book, undercoatId);
  if (!undercoat) return `There is no undercoat '${undercoatId}' in this book.`;
  if (!isOnScale(grey)) return `There is no grey ${grey.text}: greys run from N0 to N10, or from L* 0 to L* 100.`;
  const wanted = lightnessOf(grey);
  const same = undercoat.steps.find((step) => Math.abs(lightnessOf(step.grey) - wanted) < 1e-6);
  if (same) return { toners: same.toners, basis: 'measured' };
  return between(undercoat, wanted, shopOf(book).saunderson);
}

function between(undercoat: Undercoat, wanted: number, surface: Surface): GreyRecipe | string {
  const ends = endsOf(undercoat);
  if (!ends)
    return `Undercoat ${undercoat.code} lists no two ends, a light and a dark grey of one toner each, between which a grey could be computed.`;
  const steps = undercoat.steps.flatMap((step) => {
    const total = sum(step.toners.map((toner) => toner.parts));
    if (total.compare(0) <= 0 || step.toners.some((toner) => toner.code !== ends.light && toner.code !== ends.dark))
      return [];
    const dark = step.toners.filter((toner) => toner.code === ends.dark).map((toner) => toner.parts);
    return [{ lightness: lightnessOf(step.grey), dark: sum(dark).div(total).valueOf() }];
  });
  try {
    const mixture = greyMixture(steps, wanted, surface);
    const dark = rational(mixture.dark.toFixed(4));
    return {
      toners: [
        { code: ends.light, parts: rational(100).sub(dark.mul(100)) },
        { code: ends.dark, parts: dark.mul(100) },
      ].filter((toner) => toner.parts.compare(0) > 0),
      basis: mixture.basis,
    };
  } catch (error) {
    return `Undercoat ${undercoat.code} cannot be mixed to this grey: ${error instanceof Error ? error.message : 'no reason given'}.`;
  }
}

function endsOf(undercoat: Undercoat): { light: string; dark: string } | undefined {
  const single = undercoat.steps.filter((step) => step.toners.length === 1);
  const sorted = [...single].sort((a, b) => lightnessOf(b.grey) - lightnessOf(a.grey));
  const light = sorted[0]?.toners[0]?.code;
  const dark = sorted.at(-1)?.toners[0]?.code;
  return light && dark && light !== dark ? { light, dark } : undefined;
}
