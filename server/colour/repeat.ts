import { difference } from './difference.ts';
import { type Lab, labOfSpectrum } from './lab.ts';
import { meanSpectrum, type Spectrum } from './spectrum.ts';
import type { Viewing } from './viewing.ts';
import type { Bandpass } from './weights.ts';

/** A difference in both of the metrics that repeatability is told in. */
export interface RepeatDifference {
  readonly dE76: number;
  readonly dE00: number;
}

export interface Repeatability {
  readonly mean: Lab;
  /** Mean of the differences of the takes from their mean, MCDM (Billmeyer and Alessi 1981; ASTM E2214). */
  readonly mcdm: RepeatDifference;
  /** The largest of them in each metric. */
  readonly largest: RepeatDifference;
  /** The take that is out, from 0, where one is. */
  readonly outlier: number | undefined;
}

/** A take is out when its modified z-score exceeds this (Iglewicz and Hoaglin 1993). */
const OUT = 3.5;
/** Turns a median absolute deviation into what a standard deviation would be, for normal spread. */
const NORMAL = 0.6745;
/** Least spread, in units of CIEDE2000, so that takes closer together than the instrument's own noise accuse nobody. */
const LEAST_SPREAD = 0.05;

/**
 * How well takes of one thing repeat.
 * @param takes Lab of each take, under one illuminant and observer
 * @param mean what they are compared with: of spectra, the colour of the mean spectrum; default the mean Lab
 * @throws RangeError when there is no take
 */
export function repeatability(takes: readonly Lab[], mean: Lab = meanLab(takes)): Repeatability {
  const each = (metric: 'dE76' | 'dE00') => takes.map((take) => difference(metric, mean, take));
  const dE76 = each('dE76');
  const dE00 = each('dE00');
  return {
    mean,
    mcdm: { dE76: average(dE76), dE00: average(dE00) },
    largest: { dE76: Math.max(...dE76), dE00: Math.max(...dE00) },
    outlier: outlyingTake(takes),
  };
}

/** The same of spectra of the same wavelengths: averaged as light first, then turned into Lab. */
export function repeatabilityOfSpectra(
  takes: readonly Spectrum[],
  { illuminant, observer }: Viewing,
  bandpass: Bandpass = 'corrected',
): Repeatability {
  const colour = (spectrum: Spectrum) => labOfSpectrum(spectrum, illuminant, observer, bandpass);
  return repeatability(takes.map(colour), colour(meanSpectrum(takes)));
}

/** @throws RangeError when there is none */
export function meanLab(takes: readonly Lab[]): Lab {
  if (takes.length === 0) throw new RangeError('A mean needs at least one take.');
  return [0, 1, 2].map((c) => average(takes.map((take) => take[c]!))) as unknown as Lab;
}

/**
 * The one take that does not belong to the others, from 0; undefined when none, or when there are fewer than three, of which
 * nobody can say which is wrong.
 *
 * The distance of each take from the median colour (CIEDE2000; a mean would be drawn towards the bad take) is set against the
 * median of the distances and their median absolute deviation: out is the furthest, when its modified z-score
 * 0.6745 (d - median) / MAD is above 3.5, with MAD at least 0.05.
 */
export function outlyingTake(takes: readonly Lab[]): number | undefined {
  if (takes.length < 3) return undefined;
  const centre = [0, 1, 2].map((c) => median(takes.map((take) => take[c]!))) as unknown as Lab;
  const distances = takes.map((take) => difference('dE00', centre, take));
  const middle = median(distances);
  const spread = Math.max(median(distances.map((d) => Math.abs(d - middle))), LEAST_SPREAD);
  const furthest = distances.indexOf(Math.max(...distances));
  return (NORMAL * (distances[furthest]! - middle)) / spread > OUT ? furthest : undefined;
}

/**
 * Flop index 2.69 (L*15 - L*110)^1.11 / L*45^0.86 (D. H. Alman 1987; constants quoted from memory): 0 for solid colours, about 15
 * to 17 for the strongest metallics.
 * @returns undefined where it has no real value: the flop lighter than the face, or a black body
 */
export function flopIndex(L15: number, L45: number, L110: number): number | undefined {
  const travel = L15 - L110;
  if (!(travel >= 0) || !(L45 > 0)) return undefined;
  const index = (2.69 * travel ** 1.11) / L45 ** 0.86;
  return Number.isFinite(index) ? index : undefined;
}

/** Flop index of a reading's colours by geometry (`45as15` ...); undefined where an angle is missing, too. */
export function flopIndexOf(colours: ReadonlyMap<string, Lab>): number | undefined {
  const [L15, L45, L110] = ['45as15', '45as45', '45as110'].map((geometry) => colours.get(geometry)?.[0]);
  if (L15 === undefined || L45 === undefined || L110 === undefined) return undefined;
  return flopIndex(L15, L45, L110);
}

function average(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}

function median(values: readonly number[]): number {
  const sorted = values.toSorted((p, q) => p - q);
  const middle = sorted.length >> 1;
  return sorted.length % 2 === 1 ? sorted[middle]! : (sorted[middle - 1]! + sorted[middle]!) / 2;
}
