/** Imported readings as entries of a `.pour` file. */
import type { ImportedReading, ImportedValue } from './imported.ts';

const NUMBERS_A_LINE = 10;
const LONGEST_ID = 60;

export interface PourOptions {
  /** Ids that the book has already. */
  readonly ids?: Iterable<string>;
  /** The book's id for an instrument as the file names it, where it has one. */
  readonly instrument?: (named: string) => string | undefined;
  /** The angle of values whose file does not say it; without it their lines lack the angle, and the book asks for it. */
  readonly geometry?: string;
  /** The main illuminant and observer of the book, `D65/10`: left out of lab lines. Elsewhere they are written. */
  readonly viewing?: string;
}

/** The text of all readings, one entry each, with an empty line between. Lines end in LF. */
export function pourOfReadings(readings: readonly ImportedReading[], options: PourOptions = {}): string {
  const idOf = pourIds(options.ids);
  return readings.map((reading) => pourOfReading(reading, idOf(reading.name), options)).join('\n');
}

/** One reading entry under a legal id. */
export function pourOfReading(reading: ImportedReading, id: string, options: PourOptions = {}): string {
  const lines = [`reading ${id} ${quoted(reading.name)}`, ...takenLine(reading, options), ...bandpassLine(reading)];
  for (const value of reading.values) {
    if (value.lab) lines.push(labLine(value, options));
    if (value.spectrum) lines.push(...spectrumLines(value, options));
  }
  return `${lines.join('\n')}\n`;
}

/**
 * Makes names into ids: letters, digits, `_ . -`, unlike all ids made or taken before, also when the case of letters is ignored.
 */
export function pourIds(taken: Iterable<string> = []): (name: string) => string {
  const used = new Set([...taken].map(folded));
  return (name) => {
    const plain = legalId(name);
    let id = plain;
    for (let n = 2; used.has(folded(id)); n++) id = `${plain}-${n}`;
    used.add(folded(id));
    return id;
  };
}

const folded = (id: string): string => id.normalize('NFC').toLowerCase();

function legalId(name: string): string {
  const id = [...name.normalize('NFC').replace(/[^\p{L}\p{M}\d_.-]+/gu, '-')]
    .slice(0, LONGEST_ID)
    .join('')
    .replace(/-{2,}/g, '-')
    .replace(/\.{2,}/g, '.')
    .replace(/^[^\p{L}\d]+|[.-]+$/gu, '');
  // A decimal is never an id.
  if (/^\d+\.\d+$/.test(id)) return `${id}-r`;
  return id === '' ? 'reading' : id;
}

function takenLine({ taken, instrument }: ImportedReading, options: PourOptions): string[] {
  const id = instrument === undefined ? undefined : options.instrument?.(instrument);
  const remark = instrument !== undefined && id === undefined ? `  # with ${plain(instrument)}` : '';
  if (taken === undefined) return remark ? [` ${remark}`] : [];
  return [`  taken ${taken}${id === undefined ? '' : ` with ${id}`}${remark}`];
}

/** The book takes spectra for corrected unless it is told otherwise. */
function bandpassLine({ values }: ImportedReading): string[] {
  return values.some(({ bandpass }) => bandpass === 'uncorrected') ? ['  bandpass uncorrected'] : [];
}

function labLine(value: ImportedValue, options: PourOptions): string {
  const { illuminant, observer } = value;
  const viewing = illuminant !== undefined && observer !== undefined ? `${illuminant}/${observer}` : undefined;
  const shown = viewing === options.viewing ? undefined : viewing;
  return `  ${words('lab', geometryOf(value, options), shown, take(value), ...value.lab!.map(decimal))}`;
}

function spectrumLines(value: ImportedValue, options: PourOptions): string[] {
  const { start, step, values } = value.spectrum!;
  const range = `${start}..${start + step * (values.length - 1)}/${step}`;
  const lists = chunks([...values].map(decimal), NUMBERS_A_LINE).map((list) => list.join(' '));
  return [
    `  ${words('spectrum', geometryOf(value, options), take(value), `${range} `, lists[0])}`,
    ...lists.slice(1).map((list) => `    ${list}`),
  ];
}

const geometryOf = (value: ImportedValue, options: PourOptions): string | undefined =>
  value.geometry ?? options.geometry;
const take = ({ take }: ImportedValue): string | undefined => (take === undefined ? undefined : `take ${take}`);
const words = (...parts: (string | undefined)[]): string => parts.filter((part) => part !== undefined).join(' ');

/** At most seven decimals, the finest that exports carry; no exponent, no negative zero. */
function decimal(value: number): string {
  const text = value.toFixed(7).replace(/\.?0+$/, '');
  return text === '-0' ? '0' : text;
}

function chunks<T>(list: readonly T[], size: number): T[][] {
  return Array.from({ length: Math.ceil(list.length / size) }, (_, at) => list.slice(at * size, (at + 1) * size));
}

/** Text on one line: what would end the line, or is a control character, becomes a blank. */
const plain = (text: string): string => text.replace(/[\s\u0000-\u001f\u007f-\u009f\u2028\u2029]+/g, ' ').trim();
const quoted = (text: string): string => `"${plain(text).replace(/[\\"]/g, '\\$&')}"`;
