/** Whether two readings may be set against each other at all. */

export interface Surface {
  /** Clear coat on it, or not. Unstated when undefined, as below. */
  readonly cleared?: boolean | undefined;
  readonly polished?: boolean | undefined;
  /** Of the panel, degrees Celsius. */
  readonly temperature?: number | undefined;
}

export interface ReadingFacts {
  /** Every geometry that was read. */
  readonly geometries: readonly string[];
  readonly surface?: Surface | undefined;
  /** Model of the instrument, the same for two instruments of one make. */
  readonly instrumentModel?: string | undefined;
  /** When it was taken, milliseconds since 1970. */
  readonly taken?: number | undefined;
}

export interface ComparableLimits {
  /** Panels further apart in temperature than this, degrees Celsius, may differ in colour by that alone. */
  readonly temperature: number;
  /** Readings further apart in time than this, days: panels age. */
  readonly days: number;
}

/**
 * Common practice, to be set by the book. Five degrees: a red ceramic tile moves by a dE*ab of 1.0 per 10 degrees (Malkin and
 * others, J. Soc. Dyers Colour. 113, 1997).
 */
export const USUAL_LIMITS: ComparableLimits = { temperature: 5, days: 365 };

export type ReasonKind = 'geometry' | 'surface' | 'polish' | 'temperature' | 'instrument' | 'age';

export interface Reason {
  readonly kind: ReasonKind;
  /** For a painter, without a full stop. */
  readonly text: string;
}

export interface Comparability {
  readonly comparable: boolean;
  /** Geometries that both have, the only ones of which a difference means anything. */
  readonly common: readonly string[];
  readonly reasons: readonly Reason[];
  /** What could not be judged, because one of the readings or both do not say it. */
  readonly unstated: readonly ReasonKind[];
}

const DAY = 24 * 60 * 60 * 1000;

/** Compares what is stated of two readings; what is not stated is no reason, but is listed. */
export function comparability(
  a: ReadingFacts,
  b: ReadingFacts,
  limits: ComparableLimits = USUAL_LIMITS,
): Comparability {
  const common = a.geometries.filter((geometry) => b.geometries.includes(geometry));
  const judged: [ReasonKind, string | false | undefined][] = [
    ['geometry', geometryReason(a, b, common)],
    ['surface', differing(a.surface?.cleared, b.surface?.cleared, 'one surface is cleared, the other is not')],
    ['polish', differing(a.surface?.polished, b.surface?.polished, 'one surface is polished, the other is not')],
    ['temperature', temperatureReason(a.surface?.temperature, b.surface?.temperature, limits.temperature)],
    ['instrument', instrumentReason(a.instrumentModel, b.instrumentModel)],
    ['age', ageReason(a.taken, b.taken, limits.days)],
  ];
  const reasons = judged.flatMap(([kind, text]) => (text ? [{ kind, text }] : []));
  const unstated = judged.filter(([, text]) => text === undefined).map(([kind]) => kind);
  return { comparable: reasons.length === 0, common, reasons, unstated: [...new Set(unstated)] };
}

function geometryReason(a: ReadingFacts, b: ReadingFacts, common: readonly string[]): string | false {
  return common.length === 0 && `no angle in common: ${a.geometries.join(' ')} against ${b.geometries.join(' ')}`;
}

/** undefined: not stated; false: alike; else the reason. */
function differing<T>(a: T | undefined, b: T | undefined, reason: string): string | false | undefined {
  if (a === undefined || b === undefined) return undefined;
  return a !== b && reason;
}

function temperatureReason(a: number | undefined, b: number | undefined, limit: number): string | false | undefined {
  if (a === undefined || b === undefined) return undefined;
  return Math.abs(a - b) > limit && `panels of ${a} C and ${b} C: more than ${limit} C apart, let the warm one cool`;
}

function instrumentReason(a: string | undefined, b: string | undefined): string | false | undefined {
  return differing(a, b, `instruments of two models: ${a} and ${b}`);
}

function ageReason(a: number | undefined, b: number | undefined, limit: number): string | false | undefined {
  if (a === undefined || b === undefined) return undefined;
  const days = Math.floor(Math.abs(a - b) / DAY);
  return days > limit && `taken ${days} days apart, more than ${limit}: a panel weathers`;
}

/** The look of flakes, in the units of one instrument model: no standard makes the scales of two models the same. */
export interface FlakeFacts {
  readonly instrumentModel?: string | undefined;
  readonly sparkle?: number | undefined;
  readonly graininess?: number | undefined;
}

/** Differences, sample less standard, of what both have; or why flakes were not compared. */
export type FlakeComparison =
  | { readonly compared: true; readonly sparkle: number | undefined; readonly graininess: number | undefined }
  | { readonly compared: false; readonly text: string };

export function compareFlakes(standard: FlakeFacts, sample: FlakeFacts): FlakeComparison {
  const sparkle = less(sample.sparkle, standard.sparkle);
  const graininess = less(sample.graininess, standard.graininess);
  if (sparkle === undefined && graininess === undefined)
    return { compared: false, text: 'flake appearance not compared: not measured on both' };
  const { instrumentModel: model } = standard;
  if (model === undefined || sample.instrumentModel === undefined)
    return { compared: false, text: 'flake appearance not compared: the instrument model is not stated for both' };
  if (model !== sample.instrumentModel)
    return {
      compared: false,
      text: `flake appearance not compared: ${model} and ${sample.instrumentModel} have scales of their own`,
    };
  return { compared: true, sparkle, graininess };
}

function less(a: number | undefined, b: number | undefined): number | undefined {
  return a === undefined || b === undefined ? undefined : a - b;
}
