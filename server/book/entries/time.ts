/** Dates of the book as points in time. A time without a zone is meant in the book's time zone; a date without a time is its noon. */

export interface Moment {
  readonly text: string;
  /** Milliseconds since 1970, UTC. */
  readonly at: number;
  readonly dayOnly: boolean;
}

const PARTS = /^(\d{4})-(\d\d)-(\d\d)(?:T(\d\d):(\d\d)(?::(\d\d))?(Z|[+-]\d\d:\d\d)?)?$/;

export function momentOf(text: string | undefined, zone: string): Moment | undefined {
  const parts = text === undefined ? null : PARTS.exec(text);
  if (!parts || text === undefined) return undefined;
  const [year, month, day, hour, minute, second] = parts.slice(1, 7).map((part) => Number(part ?? 0));
  const dayOnly = parts[4] === undefined;
  const wall = Date.UTC(year!, month! - 1, day!, dayOnly ? 12 : hour!, minute!, second!);
  if (Number.isNaN(wall)) return undefined;
  const offset = parts[7];
  if (offset === 'Z') return { text, at: wall, dayOnly };
  if (offset) {
    const sign = offset[0] === '-' ? 1 : -1;
    return { text, at: wall + sign * (Number(offset.slice(1, 3)) * 60 + Number(offset.slice(4))) * 60_000, dayOnly };
  }
  return { text, at: wall - zoneOffset(zone, wall), dayOnly };
}

const formats = new Map<string, Intl.DateTimeFormat | undefined>();

/** Milliseconds that the zone is ahead of UTC at a wall-clock time; 0 for a zone that the platform does not know. */
function zoneOffset(zone: string, wall: number): number {
  const first = offsetAt(zone, wall);
  return offsetAt(zone, wall - first);
}

function offsetAt(zone: string, at: number): number {
  const format = formatFor(zone);
  if (!format) return 0;
  const part = Object.fromEntries(format.formatToParts(at).map(({ type, value }) => [type, Number(value)]));
  return (
    Date.UTC(part.year!, part.month! - 1, part.day!, part.hour! % 24, part.minute!, part.second!) -
    Math.floor(at / 1000) * 1000
  );
}

export const knownZone = (zone: string): boolean => formatFor(zone) !== undefined;

function formatFor(zone: string): Intl.DateTimeFormat | undefined {
  if (!formats.has(zone)) formats.set(zone, makeFormat(zone));
  return formats.get(zone);
}

function makeFormat(timeZone: string): Intl.DateTimeFormat | undefined {
  try {
    return new Intl.DateTimeFormat('en-US', {
      timeZone,
      hourCycle: 'h23',
      year: 'numeric',
      month: 'numeric',
      day: 'numeric',
      hour: 'numeric',
      minute: 'numeric',
      second: 'numeric',
    });
  } catch {
    return undefined;
  }
}

/** The last moment that a date can name. */
const LAST = 8.64e15; // ms, ECMA-262

/** What a clock in the zone shows, as 2026-10-14T14:05; of a zone that the platform does not know, UTC. */
export function wallTime(at: number, zone: string): string {
  const timeZone = knownZone(zone) ? zone : 'UTC';
  // Swedish writes dates as ISO 8601 does.
  const format = new Intl.DateTimeFormat('sv-SE', { timeZone, dateStyle: 'short', timeStyle: 'short' });
  return format.format(Math.min(at, LAST)).replace(' ', 'T');
}
