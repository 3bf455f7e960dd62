/** Instruments and scales of the shop. */

import { type Entry, lineOf, linesOf, text } from '../../../grammar/tree.ts';
import type { Rational } from '../../exact/rational.ts';
import { baseIn, numberIn, stepIn } from './written.ts';

export interface Instrument {
  readonly id: string;
  readonly name: string;
  readonly geometries: readonly string[];
  readonly calibrations: readonly { readonly when: string; readonly temperature: number | undefined }[];
  readonly tile: readonly { readonly when: string; readonly lab: readonly [number, number, number] }[];
}

export interface Scale {
  readonly id: string;
  readonly name: string;
  /** g */
  readonly step: Rational | undefined;
  readonly capacity: Rational | undefined;
  readonly tests: readonly { readonly when: string; readonly weight: Rational; readonly shown: Rational }[];
}

export function readInstrument(entry: Entry): Instrument {
  return {
    id: text(entry.head, 'id') ?? '',
    name: text(entry.head, 'name') ?? '',
    geometries: (lineOf(entry, 'geometry')?.values ?? []).map((value) => value.text),
    calibrations: linesOf(entry, 'calibrated').flatMap((line) => {
      const when = text(line, 'when');
      return when === undefined ? [] : [{ when, temperature: baseIn(line, 'temperature', 'temperature')?.valueOf() }];
    }),
    tile: linesOf(entry, 'tile').flatMap((line) => {
      const [when, L, a, b] = [text(line, 'when'), numberIn(line, 'L'), numberIn(line, 'a'), numberIn(line, 'b')];
      return when === undefined || L === undefined || a === undefined || b === undefined
        ? []
        : [{ when, lab: [L, a, b] as const }];
    }),
  };
}

export function readScale(entry: Entry): Scale {
  return {
    id: text(entry.head, 'id') ?? '',
    name: text(entry.head, 'name') ?? '',
    step: stepIn(lineOf(entry, 'readability'), 'step'),
    capacity: baseIn(lineOf(entry, 'capacity'), 'most', 'mass'),
    tests: linesOf(entry, 'tested').flatMap((line) => {
      const [when, weight, shown] = [text(line, 'when'), baseIn(line, 'weight', 'mass'), baseIn(line, 'shown', 'mass')];
      return when === undefined || !weight || !shown ? [] : [{ when, weight, shown }];
    }),
  };
}
