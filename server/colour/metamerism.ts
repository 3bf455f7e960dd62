import { difference } from './difference.ts';
import type { Illuminant } from './illuminants.ts';
import { labOfSpectrum, labOfXyz, weightsFor, xyzOfSpectrum } from './lab.ts';
import type { Spectrum } from './spectrum.ts';
import type { Viewing } from './viewing.ts';
import type { Bandpass } from './weights.ts';

/** How far a pair parts when the light changes, after it was made equal under the reference light. */
export interface MetamerismIndex {
  readonly illuminant: Illuminant;
  /** Made equal by factors on X, Y, Z, the preferred way; undefined when the sample is black under the reference light. */
  readonly multiplicative: { readonly dE76: number; readonly dE00: number } | undefined;
  /** Made equal by taking the reference light's difference away in L*, a*, b*. */
  readonly additive: { readonly dE76: number };
}

/**
 * Special index of metamerism for change of illuminant (CIE 015; ISO 18314-4). The standards set it out for solid colours: of
 * flake colours it tells something at each angle, but nothing of the flakes' own look.
 * @param reference the light under which the pair should match, with the observer for both
 * @param bandpass whether the standard is corrected for bandpass, and the sample where it is unlike
 * @throws RangeError when a spectrum lacks too much of the visible range
 */
export function metamerismIndex(
  standard: Spectrum,
  sample: Spectrum,
  { illuminant: reference, observer }: Viewing,
  test: Illuminant,
  bandpass: Bandpass = 'corrected',
  sampleBandpass: Bandpass = bandpass,
): MetamerismIndex {
  const passOf = (spectrum: Spectrum) => (spectrum === sample ? sampleBandpass : bandpass);
  const xyz = (spectrum: Spectrum, illuminant: Illuminant) =>
    xyzOfSpectrum(spectrum, illuminant, observer, passOf(spectrum));
  const lab = (spectrum: Spectrum, illuminant: Illuminant) =>
    labOfSpectrum(spectrum, illuminant, observer, passOf(spectrum));

  const wanted = xyz(standard, reference);
  const got = xyz(sample, reference);
  const seen = xyz(sample, test);
  const made = [0, 1, 2].map((c) => (seen[c]! * wanted[c]!) / got[c]!) as [number, number, number];
  const standardLab = lab(standard, test);
  const madeLab = labOfXyz(made, weightsFor(sample, test, observer, sampleBandpass).white);

  const before = [lab(standard, reference), lab(sample, reference)] as const;
  const after = [standardLab, lab(sample, test)] as const;
  const parted = [0, 1, 2].map((c) => after[1][c]! - after[0][c]! - (before[1][c]! - before[0][c]!));

  return {
    illuminant: test,
    multiplicative: got.every((value) => value > 0)
      ? { dE76: difference('dE76', standardLab, madeLab), dE00: difference('dE00', standardLab, madeLab) }
      : undefined,
    additive: { dE76: Math.hypot(...parted) },
  };
}
