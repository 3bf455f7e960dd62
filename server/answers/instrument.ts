/** An instrument laid open: its calibrations, when the next is due, and how its white tile has moved. */
import type { Book } from '../book/book.ts';
import type { EntryCell } from '../book/cell.ts';
import type { Instrument } from '../book/entries/instrument.ts';
import { wallTime } from '../book/entries/time.ts';
import { instrumentIn, moment, shopOf } from '../book/known.ts';
import { tileDrift } from '../colour/instrument.ts';
import type { Lab } from '../colour/lab.ts';
import { rounded } from './number.ts';

export interface ShownCalibration {
  readonly when: string;
  /** Degrees Celsius. */
  readonly temperature: number | null;
  /** It followed a change of temperature that asks for a calibration by itself. */
  readonly afterJump: boolean;
}

export interface TileReading {
  readonly when: string;
  readonly lab: Lab;
  /** Since the first reading of the tile. */
  readonly dL: number;
  readonly da: number;
  readonly db: number;
  readonly dE00: number;
}

export interface InstrumentAnswer {
  readonly kind: 'instrument';
  readonly id: string;
  readonly name: string;
  readonly geometries: readonly string[];
  /** In the order of time. */
  readonly calibrations: readonly ShownCalibration[];
  /** When the next calibration is due; null when there is no interval or none to count from. */
  readonly due: {
    /** Of the last calibration, as written. */
    readonly last: string;
    readonly everySeconds: number;
    /** In the book's time zone, as the book writes times: 2026-10-16T08:00. */
    readonly on: string;
  } | null;
  /** Why nothing is due. */
  readonly dueReason: string | null;
  readonly drift: readonly TileReading[];
}

/** Degrees Celsius between two calibrations that the later one is owed to; common practice, as for readings. */
const JUMP = 5;

export function showInstrument(book: Book, cell: EntryCell): InstrumentAnswer {
  const instrument = instrumentIn(book, cell);
  return {
    kind: 'instrument',
    id: instrument.id,
    name: instrument.name,
    geometries: instrument.geometries,
    calibrations: calibrationsOf(book, instrument),
    ...dueOf(book, instrument),
    drift: driftOf(book, instrument),
  };
}

function calibrationsOf(book: Book, instrument: Instrument): ShownCalibration[] {
  const ordered = timed(book, instrument.calibrations);
  return ordered.map(({ when, temperature }, index) => {
    const before = ordered[index - 1]?.temperature;
    const afterJump = temperature !== undefined && before !== undefined && Math.abs(temperature - before) > JUMP;
    return { when, temperature: temperature ?? null, afterJump };
  });
}

function dueOf(book: Book, instrument: Instrument): Pick<InstrumentAnswer, 'due' | 'dueReason'> {
  const { recalibrate, zone } = shopOf(book);
  const last = timed(book, instrument.calibrations).at(-1);
  if (recalibrate === undefined)
    return { due: null, dueReason: 'the book gives no interval; write for example: recalibrate every 3 days' };
  if (!last) return { due: null, dueReason: 'no calibration is written down, so it is due before the next reading' };
  const on = wallTime(last.at + recalibrate * 1000, zone);
  return { due: { last: last.when, everySeconds: recalibrate, on }, dueReason: null };
}

function driftOf(book: Book, instrument: Instrument): TileReading[] {
  const tiles = timed(book, instrument.tile);
  const drift = tileDrift(tiles.map(({ at, lab }) => ({ at, tile: lab })));
  return tiles.map(({ when, lab }, index) => {
    const { dL, da, db, dE00 } = drift[index]!;
    return { when, lab, dL: rounded(dL), da: rounded(da), db: rounded(db), dE00: rounded(dE00) };
  });
}

/** In the order of time; what has no date that can be read is left out. */
function timed<T extends { readonly when: string }>(book: Book, lines: readonly T[]): (T & { readonly at: number })[] {
  return lines
    .flatMap((line) => {
      const at = moment(book, line.when)?.at;
      return at === undefined ? [] : [{ ...line, at }];
    })
    .sort((a, b) => a.at - b.at);
}
