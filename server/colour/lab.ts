import type { Illuminant } from './illuminants.ts';
import type { Observer } from './observers.ts';
import type { Spectrum } from './spectrum.ts';
import { type Bandpass, type TristimulusWeights, tristimulusWeights, type XYZ } from './weights.ts';

/** CIELAB L*, a*, b* (CIE 015; ISO/CIE 11664-4). L* above 100 is real: flake paints near the gloss. */
export type Lab = readonly [number, number, number];

/** L*, C*ab, hue angle in degrees from 0 up to 360; the hue of a true neutral is 0 by convention. */
export type LCh = readonly [number, number, number];

const DEGREE = Math.PI / 180;
const KNEE = (6 / 29) ** 3;
const SLOPE = 841 / 108;

function compress(ratio: number): number {
  return ratio > KNEE ? Math.cbrt(ratio) : SLOPE * ratio + 4 / 29;
}

function expand(value: number): number {
  return value > 6 / 29 ? value * value * value : (value - 4 / 29) / SLOPE;
}

/** Lab of tristimulus values under the white of the same weights. */
export function labOfXyz([x, y, z]: XYZ, white: XYZ): Lab {
  const fx = compress(x / white[0]);
  const fy = compress(y / white[1]);
  const fz = compress(z / white[2]);
  return [116 * fy - 16, 500 * (fx - fy), 200 * (fy - fz)];
}

export function xyzOfLab([L, a, b]: Lab, white: XYZ): XYZ {
  const fy = (L + 16) / 116;
  return [white[0] * expand(fy + a / 500), white[1] * expand(fy), white[2] * expand(fy - b / 200)];
}

export function chroma([, a, b]: Lab): number {
  return Math.sqrt(a * a + b * b);
}

export function lchOfLab(lab: Lab): LCh {
  const C = chroma(lab);
  const hue = C === 0 ? 0 : Math.atan2(lab[2], lab[1]) / DEGREE;
  return [lab[0], C, (hue + 360) % 360];
}

export function labOfLch([L, C, h]: LCh): Lab {
  return [L, C * Math.cos(h * DEGREE), C * Math.sin(h * DEGREE)];
}

/** Weights that fit a spectrum's wavelengths; kept, so asking again is cheap. */
export function weightsFor(
  { start, step, values }: Spectrum,
  illuminant: Illuminant,
  observer: Observer,
  bandpass: Bandpass = 'corrected',
): TristimulusWeights {
  return tristimulusWeights(illuminant, observer, start, step, values.length, bandpass);
}

/**
 * X, Y, Z of a spectrum (ASTM E308 practice).
 * @throws RangeError when the spectrum lacks too much of the visible range.
 */
export function xyzOfSpectrum(
  spectrum: Spectrum,
  illuminant: Illuminant,
  observer: Observer,
  bandpass: Bandpass = 'corrected',
): XYZ {
  const { values: w } = weightsFor(spectrum, illuminant, observer, bandpass);
  const r = spectrum.values;
  let x = 0;
  let y = 0;
  let z = 0;
  for (let i = 0, j = 0; i < r.length; i++, j += 3) {
    x += r[i]! * w[j]!;
    y += r[i]! * w[j + 1]!;
    z += r[i]! * w[j + 2]!;
  }
  return [x, y, z];
}

/**
 * Lab of a spectrum under an illuminant, for an observer.
 * @throws RangeError when the spectrum lacks too much of the visible range.
 */
export function labOfSpectrum(
  spectrum: Spectrum,
  illuminant: Illuminant,
  observer: Observer,
  bandpass: Bandpass = 'corrected',
): Lab {
  const { white } = weightsFor(spectrum, illuminant, observer, bandpass);
  return labOfXyz(xyzOfSpectrum(spectrum, illuminant, observer, bandpass), white);
}

/**
 * Lab of many spectra of one grid: `spectra` holds `count` reflectances of each, one after the other; L*, a*, b* of each are
 * written to `out` one after the other. The loop of fits and of loading a book, so no objects in it.
 */
export function labsOfSpectra(spectra: Float64Array, weights: TristimulusWeights, out: Float64Array): void {
  const { values: w, count } = weights;
  const scaleX = 1 / weights.white[0];
  const scaleY = 1 / weights.white[1];
  const scaleZ = 1 / weights.white[2];
  const n = Math.floor(spectra.length / count);
  for (let s = 0, from = 0, to = 0; s < n; s++, to += 3) {
    let x = 0;
    let y = 0;
    let z = 0;
    for (let i = 0, j = 0; i < count; i++, j += 3, from++) {
      const r = spectra[from]!;
      x += r * w[j]!;
      y += r * w[j + 1]!;
      z += r * w[j + 2]!;
    }
    const fx = compress(x * scaleX);
    const fy = compress(y * scaleY);
    const fz = compress(z * scaleZ);
    out[to] = 116 * fy - 16;
    out[to + 1] = 500 * (fx - fy);
    out[to + 2] = 200 * (fy - fz);
  }
}
