/** A spectrum at equal steps, as a spectrophotometer gives it. */
export interface Spectrum {
  /** First wavelength, nm. */
  readonly start: number;
  /** Step between values, nm. */
  readonly step: number;
  /** Reflectance factors, 1 for the perfect diffuser. Flake paints go above 1 near the gloss: never clamped. */
  readonly values: Float64Array;
}

/** Last wavelength of a spectrum, nm. */
export function spectrumEnd(spectrum: Spectrum): number {
  return spectrum.start + spectrum.step * (spectrum.values.length - 1);
}

/** Whether two spectra have the same wavelengths, so that their values may be compared or averaged one by one. */
export function sameWavelengths(a: Spectrum, b: Spectrum): boolean {
  return a.start === b.start && a.step === b.step && a.values.length === b.values.length;
}

/**
 * The mean of spectra of the same wavelengths, value by value. Repeats are averaged as spectra, before any colour is
 * computed, because Lab is not linear in light.
 * @throws RangeError when there is none, or wavelengths differ.
 */
export function meanSpectrum(spectra: readonly Spectrum[]): Spectrum {
  const first = spectra[0];
  if (!first) throw new RangeError('A mean needs at least one spectrum.');
  const values = new Float64Array(first.values.length);
  for (const spectrum of spectra) {
    if (!sameWavelengths(first, spectrum)) throw new RangeError('Spectra of unlike wavelengths cannot be averaged.');
    for (let i = 0; i < values.length; i++) values[i]! += spectrum.values[i]!;
  }
  for (let i = 0; i < values.length; i++) values[i]! /= spectra.length;
  return { start: first.start, step: first.step, values };
}
