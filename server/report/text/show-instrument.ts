/** An instrument for a terminal: when it is due, its last calibrations, and the drift of its white tile as a small chart. */
import type { InstrumentAnswer, TileReading } from '../../answers/instrument.ts';
import { fixed, sentence, signed } from './figures.ts';
import { table } from './table.ts';

export function instrumentText(answer: InstrumentAnswer): string {
  return [
    `instrument ${answer.id} "${answer.name}"${answer.geometries.length > 0 ? `, reads ${answer.geometries.join(' ')}` : ''}`,
    dueText(answer),
    ...calibrationText(answer),
    ...driftText(answer.drift),
  ].join('\n');
}

const HOUR = 3600;

function dueText({ due, dueReason }: InstrumentAnswer): string {
  if (!due) return sentence(`no date for the next calibration: ${dueReason}`);
  const hours = due.everySeconds / HOUR;
  const every = hours % 24 === 0 ? `${hours / 24} days` : `${fixed(hours, hours % 1 === 0 ? 0 : 1)} hours`;
  return `Calibrate again before ${due.on}: the last was ${due.last}, and the book wants one every ${every}.`;
}

/** As many as tell how it is kept; the book has them all. */
const SHOWN = 5;

function calibrationText({ calibrations }: InstrumentAnswer): string[] {
  if (calibrations.length === 0) return [];
  const earlier = calibrations.length - SHOWN;
  const rows = calibrations
    .slice(-SHOWN)
    .map(({ when, temperature, afterJump }) => [
      when,
      temperature === null ? '' : `${temperature} C`,
      afterJump ? 'after a change of temperature' : '',
    ]);
  return ['', `Calibrations${earlier > 0 ? ` (${earlier} earlier)` : ''}:`, table(rows, ['left', 'right'])];
}

/** Columns of the chart between no drift and the largest. */
const WIDTH = 24;
/** dE00 at the right edge when the tile moved less than this: noise is not to look like a drift. */
const LEAST_EDGE = 0.1;

function driftText(drift: readonly TileReading[]): string[] {
  const last = drift.at(-1);
  if (!last) return ['', 'No white tile is written down, so its drift is not known.'];
  if (drift.length === 1)
    return ['', `The white tile was read once, ${last.when}: a drift shows from the second time on.`];
  const edge = Math.max(LEAST_EDGE, ...drift.map(({ dE00 }) => dE00));
  const rows = drift.map((one) => [
    one.when,
    signed(one.dL, 2),
    signed(one.da, 2),
    signed(one.db, 2),
    fixed(one.dE00, 2),
    mark(one.dE00 / edge),
  ]);
  const head = ['', 'dL', 'da', 'db', 'dE00', `0${`${fixed(edge, 2)} dE00`.padStart(WIDTH)}`];
  return [
    '',
    `White tile, moved by ${fixed(last.dE00, 2)} dE00 since ${drift[0]!.when}:`,
    table([head, ...rows], ['left', 'right', 'right', 'right', 'right', 'left']),
  ];
}

/** A mark at its place on a line that begins at 0. */
function mark(share: number): string {
  const at = Math.round(share * WIDTH);
  return at === 0 ? 'o' : `|${'.'.repeat(at - 1)}o`;
}
