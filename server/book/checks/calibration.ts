import type { Finding } from '../../../grammar/finding.ts';
import { lineOf, value } from '../../../grammar/tree.ts';
import { type CalibrationDue, type CalibrationRule, calibrationDue } from '../../colour/instrument.ts';
import type { Book } from '../book.ts';
import type { EntryCell } from '../cell.ts';
import type { Instrument } from '../entries/instrument.ts';
import type { Measured } from '../entries/measured.ts';
import type { Moment } from '../entries/time.ts';
import { instrumentIn, instrumentNamed, measuredIn, moment, shopOf } from '../known.ts';
import { type Check, finding, headOf, listed } from './check.ts';

export const calibration: Check = {
  pages: [
    {
      code: 'calibration-due',
      title: 'The instrument was due for calibration',
      text: 'The reading was taken longer after the last calibration of its instrument than the book allows (`recalibrate every 3 days`), or before any. Standards give no interval: the advice of the instrument’s maker or the shop’s own control chart does. Later calibrations do not count for earlier readings. Calibrate and take the reading again, or write the missing `calibrated` line.',
    },
    {
      code: 'calibration-none',
      title: 'An instrument without a calibration',
      text: 'The book asks for calibrations at an interval, but none of this instrument is written down. Every calibration keeps its line: `calibrated 2026-10-13T08:00 at 20 C`.',
    },
    {
      code: 'panel-warm',
      title: 'A warm panel, or an instrument that has warmed up',
      text: 'Colour moves with temperature: a red ceramic tile by about one unit for ten degrees (Malkin and others, J. Soc. Dyers Colour. 113, 1997). A panel above 30 C, or one more than 5 C from the temperature of the last calibration, should cool (or the instrument be calibrated again) before it is read. The two limits are common practice, not a standard.',
    },
    {
      code: 'geometry-unread',
      title: 'An angle that the instrument does not have',
      text: 'The reading has values at an angle that its instrument does not list among its geometries. Correct the angle or the instrument, or complete the `geometry` line of the instrument.',
    },
  ],
  in: ['reading', 'sprayout', 'drawdown', 'instrument'],
  acrossFiles: true,
  *find(book, cell) {
    if (cell.entry.kind === 'instrument') yield* neverCalibrated(book, cell);
    else yield* reading(book, cell);
  },
};

/** Degrees Celsius, common practice. */
const WARM = 30;

function* neverCalibrated(book: Book, cell: EntryCell): Generator<Finding> {
  if (shopOf(book).recalibrate === undefined || instrumentIn(book, cell).calibrations.length > 0) return;
  yield finding(
    'calibration-none',
    'warning',
    headOf(cell.entry),
    'The book asks for calibrations, but this instrument has none.',
    'Write each one down, for example: calibrated 2026-10-13T08:00 at 20 C',
  );
}

function* reading(book: Book, cell: EntryCell): Generator<Finding> {
  const measured = measuredIn(book, cell);
  const instrument = measured.instrument === undefined ? undefined : instrumentNamed(book, measured.instrument);
  const at = moment(book, measured.taken);
  const due =
    instrument && at && instrument.calibrations.length > 0 ? dueAt(book, instrument, measured, at) : undefined;
  if (due && due.why !== 'temperature') {
    yield finding(
      'calibration-due',
      'warning',
      (measured.takenLine && value(measured.takenLine, 'when')) ?? headOf(cell.entry),
      `${instrument!.id} was due for calibration when this was read: ${due.text}.`,
      `Calibrate it and read again, or write the calibration that is missing at ${instrument!.id}.`,
    );
  }
  yield* warm(cell, measured, due?.why === 'temperature' ? due.text : undefined);
  if (instrument && instrument.geometries.length > 0) yield* unread(measured, instrument);
}

type Due = Extract<CalibrationDue, { due: true }>;

const HALF_DAY = 12 * 60 * 60 * 1000;

/** A date without a time is held against the whole of its day: only what is due from morning to night is told. */
function dueAt(book: Book, instrument: Instrument, measured: Measured, taken: Moment): Due | undefined {
  const { recalibrate } = shopOf(book);
  const calibrations = instrument.calibrations.flatMap(({ when, temperature }) => {
    const at = moment(book, when);
    return at ? [{ at: at.dayOnly ? at.at - HALF_DAY : at.at, temperature }] : [];
  });
  const rule: CalibrationRule = { every: recalibrate === undefined ? Number.POSITIVE_INFINITY : recalibrate * 1000 };
  const times = taken.dayOnly ? [taken.at - HALF_DAY, taken.at + HALF_DAY] : [taken.at];
  const due = times.map((at) => calibrationDue(calibrations, rule, at, measured.surface?.temperature));
  const last = due.at(-1)!;
  return due.every((one) => one.due) && last.due ? last : undefined;
}

function* warm(cell: EntryCell, { surface }: Measured, jump: string | undefined): Generator<Finding> {
  const degrees = surface?.temperature;
  const at = value(lineOf(cell.entry, 'surface'), 'temperature');
  if (degrees === undefined || !at || (degrees <= WARM && jump === undefined)) return;
  yield finding(
    'panel-warm',
    'warning',
    at,
    degrees > WARM ? `The panel had ${degrees} C: a warm panel shows another colour.` : `The panel was read ${jump}.`,
    degrees > WARM
      ? `Let it cool below ${WARM} C, in the shade, and read it again.`
      : 'Let panel and instrument come to one temperature, calibrate, and read again.',
  );
}

function* unread({ labs, spectra }: Measured, { id, geometries }: Instrument): Generator<Finding> {
  const told = new Set<string>();
  for (const { geometry, line } of [...labs, ...spectra]) {
    if (geometries.includes(geometry) || told.has(geometry)) continue;
    told.add(geometry);
    yield finding(
      'geometry-unread',
      'warning',
      value(line, 'geometry') ?? line.wordSpan,
      `${id} does not read ${geometry}; it reads ${listed(geometries)}.`,
      `Correct the angle or the instrument, or add ${geometry} to the geometry line of ${id}.`,
    );
  }
}
