/**
 * Hiding: how many coats a paint needs over a grey, and the grey over which it needs fewest.
 *
 * The undercoat is made internal, the film put on it, and the surface applied once, on top. Everything is computed from
 * the spectra: the grey of the paint's own lightness is the best one for neutrals only.
 */
import { filmReflectance, opaqueReflectance } from './kubelka-munk.ts';
import { deltaE00, type Light, labUnder } from './light.ts';
import type { MixtureOptics } from './mixture.ts';
import { luminanceOfLightness, valueOfLightness } from './munsell.ts';
import { internalReflectance, type Surface, throughSurface } from './surface.ts';

/** A paint, ready to be laid in coats: K and S are those of one coat (per unit of thickness times its thickness). */
export interface CoatedPaint {
  readonly coat: MixtureOptics;
  readonly surface: Surface;
  readonly light: Light;
}

/** Reflectance at each wavelength of a neutral grey of lightness L*, as an instrument would read it. */
export function greyReflectance(lightness: number, count: number): Float64Array {
  return new Float64Array(count).fill(luminanceOfLightness(lightness) / 100);
}

/** Measured reflectance of the paint when nothing shows through. */
export function opaqueReading(paint: CoatedPaint): Float64Array {
  const { K, S } = paint.coat;
  return K.map((k, w) => throughSurface(paint.surface, opaqueReflectance(k / Math.max(S[w]!, 1e-12))));
}

/** Measured reflectance of `coats` (any number, also broken) over an undercoat of measured reflectance. */
export function coatsReading(paint: CoatedPaint, coats: number, under: Float64Array): Float64Array {
  const { K, S } = paint.coat;
  return K.map((k, w) =>
    throughSurface(paint.surface, filmReflectance(k, S[w]!, coats, internalReflectance(paint.surface, under[w]!))),
  );
}

/** Coats beyond which a paint is said not to hide at all. */
export const mostCoats = 60;
const fewestCoats = 0.02;
/** Neighbouring thicknesses of the scan, as a ratio. */
const scanRatio = 1.03;

/**
 * Smallest number of coats (broken) from which on `differenceAt` stays within the tolerance: the curve may dip below it
 * and rise again near the best grey, so the scan comes down from the thick end. Infinity when 60 coats do not do.
 */
export function settles(differenceAt: (coats: number) => number, tolerance: number, ratio = scanRatio): number {
  if (!(differenceAt(mostCoats) <= tolerance)) return Number.POSITIVE_INFINITY;
  let within = mostCoats;
  while (within > fewestCoats) {
    const thinner = within / ratio;
    if (differenceAt(thinner) > tolerance) return bisect(differenceAt, tolerance, thinner, within);
    within = thinner;
  }
  return 0;
}

function bisect(differenceAt: (coats: number) => number, tolerance: number, from: number, to: number): number {
  let outside = from;
  let within = to;
  for (let i = 0; i < 30; i++) {
    const middle = (outside + within) / 2;
    if (differenceAt(middle) > tolerance) outside = middle;
    else within = middle;
  }
  return within;
}

/** Coats until the paint over this undercoat looks as it does opaque, within `tolerance` dE00. */
export function coatsToHide(paint: CoatedPaint, under: Float64Array, tolerance: number): number {
  const opaque = labUnder(paint.light, opaqueReading(paint));
  return settles((coats) => deltaE00(opaque, labUnder(paint.light, coatsReading(paint, coats, under))), tolerance);
}

/** L* of a black and a white undercoat, which say whether a paint hides over any grey. */
export const BLACK = 25;
export const WHITE = 95;

/** Coats until films over a black and a white undercoat look alike, within `tolerance` dE00. */
export function coatsBlackAgainstWhite(paint: CoatedPaint, tolerance: number): number {
  const count = paint.coat.K.length;
  const black = greyReflectance(BLACK, count);
  const white = greyReflectance(WHITE, count);
  const reading = (coats: number, under: Float64Array) => labUnder(paint.light, coatsReading(paint, coats, under));
  return settles((coats) => deltaE00(reading(coats, black), reading(coats, white)), tolerance);
}

/** One point of the curve of coats against grey. */
export interface GreyCoats {
  /** L* of the grey. */
  readonly lightness: number;
  readonly coats: number;
}

/** Coats to hide over each of these greys. */
export function coatsAgainstGrey(paint: CoatedPaint, tolerance: number, lightnesses: readonly number[]): GreyCoats[] {
  const count = paint.coat.K.length;
  return lightnesses.map((lightness) => ({
    lightness,
    coats: coatsToHide(paint, greyReflectance(lightness, count), tolerance),
  }));
}

/** The grey over which a paint hides soonest. */
export interface BestGrey extends GreyCoats {
  /** Munsell neutral value of the same grey. */
  readonly value: number;
  /** The best lies at the end of the scale that was searched: a still lighter or darker one might do better. */
  readonly atEnd: boolean;
}

/** Greys that can be sprayed as an undercoat: from nearly black to nearly white. */
const darkestGrey = 15;
const lightestGrey = 96;
const coarse = 2.5;
const fine = 0.5;

/** Search the greys from L* 15 to L* 96 in steps of 0.5. undefined when the paint hides over none of them. */
export function bestGrey(paint: CoatedPaint, tolerance: number): BestGrey | undefined {
  const first = lowest(coatsAgainstGrey(paint, tolerance, range(darkestGrey, lightestGrey, coarse)));
  const near = range(
    Math.max(darkestGrey, first.lightness - coarse),
    Math.min(lightestGrey, first.lightness + coarse),
    fine,
  );
  const best = lowest(coatsAgainstGrey(paint, tolerance, near));
  if (!Number.isFinite(best.coats)) return undefined;
  const atEnd = best.lightness <= darkestGrey || best.lightness >= lightestGrey;
  return { ...best, value: valueOfLightness(best.lightness), atEnd };
}

function range(from: number, to: number, step: number): number[] {
  const count = Math.floor((to - from) / step + 1e-9) + 1;
  const values = Array.from({ length: count }, (_, i) => from + i * step);
  return values.at(-1)! < to ? [...values, to] : values;
}

function lowest(points: readonly GreyCoats[]): GreyCoats {
  return points.reduce((best, point) => (point.coats < best.coats ? point : best));
}

/** What another grey than the best one costs. */
export interface WrongGrey {
  readonly coats: number;
  readonly bestCoats: number;
  /** Paint needed over this grey, as a multiple of the paint needed over the best one; film and paint go together. */
  readonly factor: number;
}

/** Compare an undercoat with the best grey. */
export function costOfGrey(coats: number, best: GreyCoats): WrongGrey {
  return { coats, bestCoats: best.coats, factor: coats / best.coats };
}

/** Below this luminance factor of the opaque paint the contrast ratio says nothing (ISO 6504-1; limit from memory). */
const darkestForContrast = 0.7;

/**
 * Contrast ratio of a film: luminance over black divided by that over a white of reflectance 0.80 (ISO 6504-1, ASTM
 * D2805). undefined for paints too dark for it: both films then look dark, and the ratio near 1 hides nothing.
 */
export function contrastRatio(paint: CoatedPaint, coats: number): number | undefined {
  const count = paint.coat.K.length;
  const luminance = (reading: Float64Array): number => luminanceOfReading(paint.light, reading);
  if (luminance(opaqueReading(paint)) < darkestForContrast) return undefined;
  const black = luminance(coatsReading(paint, coats, new Float64Array(count)));
  return black / luminance(coatsReading(paint, coats, new Float64Array(count).fill(0.8)));
}

function luminanceOfReading(light: Light, reading: Float64Array): number {
  return reading.reduce((sum, value, w) => sum + light.weights[light.count + w]! * value, 0);
}
