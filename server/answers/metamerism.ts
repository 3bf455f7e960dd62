/** How far two colours part when the light changes, at each angle. */
import type { Colours } from '../book/colours.ts';
import type { Illuminant } from '../colour/illuminants.ts';
import { metamerismIndex } from '../colour/metamerism.ts';
import type { Viewing } from '../colour/viewing.ts';
import { rounded } from './number.ts';

export interface ShownMetamerism {
  readonly geometry: string;
  /** Test light. */
  readonly illuminant: string;
  readonly observer: string;
  /** Null for a sample that is black under the reference light. */
  readonly multiplicative: { readonly dE76: number; readonly dE00: number } | null;
  readonly additive: { readonly dE76: number };
}

/** Angles at which both have a spectrum, under every light but the reference. */
export function metamerismOf(
  standard: Colours,
  sample: Colours,
  reference: Illuminant,
  viewings: readonly Viewing[],
): ShownMetamerism[] {
  const tests = viewings.filter(({ illuminant }) => illuminant !== reference);
  return standard.angles.flatMap(({ geometry, spectrum }) => {
    const other = sample.angles.find((angle) => angle.geometry === geometry)?.spectrum;
    if (!spectrum || !other) return [];
    return tests.map(({ illuminant, observer }) => {
      const from = { illuminant: reference, observer };
      const found = metamerismIndex(spectrum, other, from, illuminant, standard.bandpass, sample.bandpass);
      const { multiplicative, additive } = found;
      return {
        geometry,
        illuminant,
        observer,
        multiplicative: multiplicative
          ? { dE76: rounded(multiplicative.dE76), dE00: rounded(multiplicative.dE00) }
          : null,
        additive: { dE76: rounded(additive.dE76) },
      };
    });
  });
}
