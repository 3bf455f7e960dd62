/** The readings of an open-format file as text of the book. */
import type { Book } from '../book/book.ts';
import { instrumentIn, shopOf } from '../book/known.ts';
import type { Observer } from '../colour/observers.ts';
import { viewingText } from '../colour/viewing.ts';
import { readReadings } from '../formats/detect.ts';
import type { FilePlace, ImportedReading, ImportFinding, ImportOptions, ImportResult } from '../formats/imported.ts';
import { pourIds, pourOfReading } from '../formats/write-pour.ts';

export interface ImportAsked extends ImportOptions {
  /** The angle of values whose file does not say it. */
  readonly geometry?: string;
  /** The observer of Lab whose file names only the illuminant. */
  readonly observer?: Observer;
}

export interface ImportAnswer {
  /** Empty when the file was refused. */
  readonly readings: readonly { readonly id: string; readonly name: string }[];
  /** Entries of a `.pour` file; empty when the file was refused. */
  readonly text: string;
  readonly findings: readonly ImportFinding[];
}

export function importReadings(
  book: Book,
  bytes: Uint8Array,
  fileName: string,
  { geometry, observer, ...options }: ImportAsked = {},
): ImportAnswer {
  const read = readReadings(bytes, fileName, options);
  const { readings, findings } = litFully(geometry === undefined ? read : withoutAnswered(read), observer);
  const idOf = pourIds(book.ids('reading'));
  const pour = {
    ...(geometry === undefined ? {} : { geometry }),
    instrument: (named: string) => instrumentNamed(book, named),
    viewing: viewingText(shopOf(book).viewings[0]!),
  };
  const entries = readings.map((reading) => ({ id: idOf(reading.name), reading }));
  return {
    readings: entries.map(({ id, reading }) => ({ id, name: reading.name })),
    text: entries.map(({ id, reading }) => pourOfReading(reading, id, pour)).join('\n'),
    findings,
  };
}

/** The book's instrument whose id or name the file uses. */
function instrumentNamed(book: Book, named: string): string | undefined {
  for (const cell of book.ofKind('instrument')) {
    const { id, name } = instrumentIn(book, cell);
    if (id === named || name === named) return id;
  }
  return undefined;
}

/** The warning that a value lacks its angle stands at the value; the person has said the angle. */
function withoutAnswered({ readings, findings }: ImportResult): ImportResult {
  const placed = ({ line, column }: FilePlace) => `${line}:${column}`;
  const lacking = new Set(
    readings.flatMap(({ values }) =>
      values.filter((value) => value.geometry === undefined).map((v) => placed(v.place)),
    ),
  );
  return { readings, findings: findings.filter((one) => one.severity !== 'warning' || !lacking.has(placed(one))) };
}

/** A Lab under A is not one under the book's main light: half a light is completed by the person or refused, never guessed. */
function litFully(result: ImportResult, observer: Observer | undefined): ImportResult {
  const readings = result.readings.map((reading) => withObserver(reading, observer));
  const half = readings
    .flatMap((reading) => reading.values)
    .find((value) => value.lab && (value.illuminant === undefined) !== (value.observer === undefined));
  if (!half) return { ...result, readings };
  const message = half.illuminant
    ? `The file gives Lab for ${half.illuminant} without the observer; say it with --observer 10 or --observer 2.`
    : `The file gives Lab for the ${half.observer} degree observer without the illuminant; export it with the illuminant, or as spectra.`;
  return { readings: [], findings: [...result.findings, { severity: 'error', message, ...half.place }] };
}

function withObserver(reading: ImportedReading, observer: Observer | undefined): ImportedReading {
  if (observer === undefined) return reading;
  const values = reading.values.map((value) =>
    value.lab && value.illuminant !== undefined && value.observer === undefined ? { ...value, observer } : value,
  );
  return { ...reading, values };
}
