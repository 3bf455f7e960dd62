import {
  CIE_1931_X,
  CIE_1931_Y,
  CIE_1931_Z,
  CIE_1964_X,
  CIE_1964_Y,
  CIE_1964_Z,
  OBSERVER_START,
} from './data/cie-observers.ts';

/** The CIE 1931 standard observer (2 degrees) and the CIE 1964 standard observer (10 degrees). */
export type Observer = '2' | '10';

export const OBSERVERS: readonly Observer[] = ['2', '10'];

export function isObserver(name: string): name is Observer {
  return name === '2' || name === '10';
}

/** Colour-matching functions at 1 nm from `start` on. */
export interface ColourMatching {
  readonly start: number;
  readonly x: Float64Array;
  readonly y: Float64Array;
  readonly z: Float64Array;
}

const TABLES: Record<Observer, ColourMatching> = {
  '2': { start: OBSERVER_START, x: CIE_1931_X, y: CIE_1931_Y, z: CIE_1931_Z },
  '10': { start: OBSERVER_START, x: CIE_1964_X, y: CIE_1964_Y, z: CIE_1964_Z },
};

export function colourMatching(observer: Observer): ColourMatching {
  return TABLES[observer];
}
