/** Two colours at the angles and lights that both have. */
import { type Colours, labOf } from '../book/colours.ts';
import { directionByZone } from '../colour/direction.ts';
import { parseGeometry } from '../colour/geometry.ts';
import type { Lab } from '../colour/lab.ts';
import type { Viewing } from '../colour/viewing.ts';

export interface Pair extends Viewing {
  readonly geometry: string;
  readonly standard: Lab;
  readonly sample: Lab;
}

export function pairsOf(standard: Colours, sample: Colours, viewings: readonly Viewing[]): Pair[] {
  return standard.angles.flatMap((angle) => {
    const other = sample.angles.find((one) => one.geometry === angle.geometry);
    if (!other) return [];
    return viewings.flatMap((viewing) => {
      const a = labOf(angle, viewing, standard.bandpass);
      const b = labOf(other, viewing, sample.bandpass);
      return a && b ? [{ geometry: angle.geometry, ...viewing, standard: a, sample: b }] : [];
    });
  });
}

/** What differs, in words, under one light. */
export function differsUnder({ illuminant, observer }: Viewing, pairs: readonly Pair[]): string {
  return directionByZone(
    pairs
      .filter((pair) => pair.illuminant === illuminant && pair.observer === observer)
      .map(({ geometry, standard, sample }) => ({ geometry: parseGeometry(geometry), standard, sample })),
  );
}
