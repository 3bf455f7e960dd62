import { lightFor } from '../../server/paint/light.ts';
import type { Component, TonerKind, TonerOptics } from '../../server/paint/mixture.ts';
import { defaultSurface } from '../../server/paint/surface.ts';
import { table } from './table.ts';

/** Wavelengths of all data here: 400..700 nm at 10 nm. */
export const wavelengths = Array.from({ length: 31 }, (_, i) => 400 + 10 * i);
export const count = wavelengths.length;
export const lights = ['D65/10', 'A/10', 'F11/10'].map((name) => lightFor(name, 400, 10, count));
/** Saunderson constants of the cases: k1 0.04, k2 0.60, specular excluded. */
export const surface = defaultSurface;

/** The row's figures at all wavelengths. */
export function spectrumOf(row: Record<string, string>, unit = 1): Float64Array {
  return Float64Array.from(wavelengths, (nm) => Number(row[String(nm)]) * unit);
}

const kinds: Readonly<Record<string, TonerKind>> = { TitaniumWhite: 'white', BoneBlack: 'black', clear: 'binder' };

/** The 19 acrylics in alphabetical order, and 'clear', which neither absorbs nor scatters. */
export const acrylics: readonly TonerOptics[] = (() => {
  const rows = table('artist-acrylics.csv');
  const paints = [...new Set(rows.map((row) => row.paint!))];
  const of = (paint: string, quantity: string): Float64Array =>
    spectrumOf(rows.find((row) => row.paint === paint && row.quantity === quantity)!);
  const measured = paints.map((code) => ({
    code,
    kind: kinds[code] ?? 'opaque',
    K: of(code, 'K'),
    S: of(code, 'S'),
  }));
  return [...measured, { code: 'clear', kind: 'binder', K: new Float64Array(count), S: new Float64Array(count) }];
})();

export function indexOf(paint: string): number {
  const index = acrylics.findIndex((toner) => toner.code === paint);
  if (index < 0) throw new Error(`no acrylic ${paint}`);
  return index;
}

/** Parts by name as components of `acrylics`. */
export function components(parts: Record<string, number>): Component[] {
  return Object.entries(parts).map(([paint, share]) => ({ toner: indexOf(paint), share }));
}

/** Shares by name. */
export function named(mixture: readonly Component[]): Record<string, number> {
  return Object.fromEntries(mixture.map(({ toner, share }) => [acrylics[toner]!.code, share]));
}

export const rounded = (values: Float64Array, digits: number): Float64Array =>
  values.map((value) => Number(value.toFixed(digits)));
