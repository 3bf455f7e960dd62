/** A fit of effect toners as plain JSON, for the lock file: with it predictions and their ± come out the same everywhere. */

import { ASSUMED, type DifferenceError } from './effect-difference.ts';
import type { EffectFit } from './effect-fit.ts';
import { effectGeometryNamed } from './effect-geometry.ts';
import { constantsFrom, type EffectBands, type EffectModel, type EffectToner } from './effect-model.ts';
import type { EffectError } from './effect-uncertainty.ts';

/** JSON shape: angles in radians, spectra as lists. */
export interface EffectRecord {
  readonly bands: EffectBands;
  readonly geometries: readonly string[];
  readonly backscatter: number;
  readonly toners: readonly TonerRecord[];
  readonly plusMinus: readonly EffectError[];
  /** How far predicted differences are off; absent in records of before it was learned. */
  readonly differences?: DifferenceError;
}

interface TonerRecord {
  readonly code: string;
  /** cards that it was learned from; 0: only a start of its kind */
  readonly cards: number;
  readonly kind: EffectToner['kind'];
  readonly numbers: Readonly<Record<string, number>>;
  readonly spectra: Readonly<Record<string, readonly number[]>>;
}

const DIGITS = 8;
const rounded = (value: number): number => Number(value.toPrecision(DIGITS));

/** What is written down; `codes` names the toners in the fit's order. */
export function recordEffectFit(
  fit: EffectFit,
  codes: readonly string[],
  errors: readonly EffectError[],
  differences: DifferenceError = ASSUMED,
): EffectRecord {
  return {
    bands: fit.bands,
    geometries: fit.geometries.map((geometry) => geometry.name),
    backscatter: rounded(fit.backscatter),
    toners: fit.toners.map((toner, t) => {
      const { kind, ...constants } = toner;
      const entries = Object.entries(constants as Record<string, number | Float64Array>);
      return {
        code: codes[t]!,
        cards: fit.seen[t]!,
        kind,
        numbers: Object.fromEntries(
          entries.flatMap(([key, value]) => (typeof value === 'number' ? [[key, rounded(value)]] : [])),
        ),
        spectra: Object.fromEntries(
          entries.flatMap(([key, value]) => (typeof value === 'number' ? [] : [[key, Array.from(value, rounded)]])),
        ),
      };
    }),
    plusMinus: errors.map((error) => ({ ...error, plusMinus: rounded(error.plusMinus) })),
    differences: { ...differences, part: rounded(differences.part) },
  };
}

/** The model, the toners by code and the ± as recorded. Errors: RangeError when the record does not fit together. */
export function readEffectFit(record: EffectRecord): {
  model: EffectModel;
  toners: ReadonlyMap<string, EffectToner>;
  errors: readonly EffectError[];
  differences: DifferenceError;
} {
  const geometries = record.geometries.map((name) => {
    const geometry = effectGeometryNamed(name);
    if (geometry === undefined)
      throw new RangeError(`the recorded fit names a geometry that effect colours cannot use: ${name}`);
    return geometry;
  });
  const toners = new Map(record.toners.map((toner) => [toner.code, tonerOf(toner, record.bands.count)]));
  return {
    model: { bands: record.bands, geometries, backscatter: record.backscatter },
    toners,
    errors: record.plusMinus,
    differences: record.differences ?? ASSUMED,
  };
}

function tonerOf(toner: TonerRecord, count: number): EffectToner {
  const number = (key: string): number => {
    const value = toner.numbers[key];
    if (value === undefined)
      throw new RangeError(`toner ${toner.code} of the recorded fit has no ${key}: fit the book again`);
    return value;
  };
  const spectrum = (key: string): Float64Array => {
    const values = toner.spectra[key];
    if (values === undefined || values.length < count)
      throw new RangeError(`toner ${toner.code} of the recorded fit has too few values for ${key}: fit the book again`);
    return Float64Array.from(values);
  };
  return constantsFrom(toner.kind, number, spectrum);
}
