import { type Components, components, difference } from './difference.ts';
import type { Lab } from './lab.ts';

/** One calibration of an instrument. */
export interface Calibration {
  /** Milliseconds since 1970. */
  readonly at: number;
  /** Temperature then, degrees Celsius. */
  readonly temperature?: number | undefined;
  /** The white tile as read, under one illuminant and observer. */
  readonly tile?: Lab | undefined;
}

export interface CalibrationRule {
  /** Longest time from a calibration to a reading, milliseconds. Standards give none: the maker's advice or the shop's own. */
  readonly every: number;
  /** Largest change of temperature since, degrees Celsius. Default 5, common practice. */
  readonly temperatureJump?: number;
}

export type CalibrationDue =
  | { readonly due: false; readonly last: Calibration }
  | { readonly due: true; readonly why: 'never' | 'interval' | 'temperature'; readonly text: string };

const USUAL_JUMP = 5;
const HOUR = 60 * 60 * 1000;

/** Whether, at a time and a temperature, the instrument had to be calibrated first. Later calibrations do not count. */
export function calibrationDue(
  calibrations: readonly Calibration[],
  rule: CalibrationRule,
  at: number,
  temperature?: number,
): CalibrationDue {
  const last = calibrations.filter((c) => c.at <= at).reduce<Calibration | undefined>(later, undefined);
  if (!last) return { due: true, why: 'never', text: 'no calibration is recorded before it' };
  if (at - last.at > rule.every)
    return {
      due: true,
      why: 'interval',
      text: `${span(at - last.at)} after the last calibration, due every ${span(rule.every)}`,
    };
  const jump = rule.temperatureJump ?? USUAL_JUMP;
  if (temperature !== undefined && last.temperature !== undefined && Math.abs(temperature - last.temperature) > jump)
    return {
      due: true,
      why: 'temperature',
      text: `at ${temperature} C, calibrated at ${last.temperature} C: calibrate again after a change of more than ${jump} C`,
    };
  return { due: false, last };
}

function later(a: Calibration | undefined, b: Calibration): Calibration {
  return a && a.at >= b.at ? a : b;
}

/** Hours up to two days, then days: neither is told more finely than it matters. */
function span(milliseconds: number): string {
  const hours = Math.round((milliseconds / HOUR) * 10) / 10;
  if (hours < 48) return hours === 1 ? '1 hour' : `${hours} hours`;
  const days = Math.round((hours / 24) * 10) / 10;
  return `${days} days`;
}

/** How far the white tile has moved since its first reading. */
export interface TileDrift extends Components {
  readonly at: number;
  readonly dE00: number;
}

/** The drift at each calibration that read the tile, in the order of time, the first being 0; empty when none did. */
export function tileDrift(calibrations: readonly Calibration[]): readonly TileDrift[] {
  const read = calibrations.flatMap(({ at, tile }) => (tile ? [{ at, tile }] : [])).sort((p, q) => p.at - q.at);
  const first = read[0]?.tile;
  if (!first) return [];
  return read.map(({ at, tile }) => ({ at, ...components(first, tile), dE00: difference('dE00', first, tile) }));
}
