/**
 * Values that a reading takes from an open-format file (`file "sam-door.cgats"`), beside those written in its lines. What the file
 * does not say is never made up: such values are not used, and `unusedOf` tells which and why.
 */
import { lineOf } from '../../grammar/tree.ts';
import type { Bandpass } from '../colour/weights.ts';
import { readReadings } from '../formats/detect.ts';
import type { ImportedReading, ImportedValue, ImportResult } from '../formats/imported.ts';
import { type Book, importUri } from './book.ts';
import type { EntryCell } from './cell.ts';
import type { LabLine, Measured, SpectrumLine } from './entries/measured.ts';
import { viewingOf } from './entries/shop.ts';
import { instrumentNamed, measuredIn } from './known.ts';

export interface ImportState {
  readonly uri: string | undefined;
  /** Nothing: the file is not there (yet). */
  readonly result: ImportResult | undefined;
}

/** What the file named by a reading holds; undefined when it names none. */
export function importOf(book: Book, cell: EntryCell, measured: Measured): ImportState | undefined {
  if (!measured.file) return undefined;
  return book
    .fact<ImportState>(
      'import',
      cell,
      () => read(book, cell),
      () => ({ uri: undefined, result: undefined }),
    )
    .get();
}

/** Looks the name up itself: the fact outlives a change of the line that names the file. */
function read(book: Book, cell: EntryCell): ImportState {
  const { file } = measuredIn(book, cell);
  const uri = file && importUri(cell.file.uri, file.name);
  const bytes = uri === undefined ? undefined : book.importedFile(uri);
  if (uri === undefined || bytes === undefined) return { uri, result: undefined };
  return { uri, result: readReadings(bytes, uri.slice(uri.lastIndexOf('/') + 1)) };
}

/** The sample of the file that the reading means: the one it names, or the only one there is. */
function chosen(book: Book, cell: EntryCell, measured: Measured): ImportedReading | undefined {
  const readings = importOf(book, cell, measured)?.result?.readings ?? [];
  const wanted = measured.file?.sample;
  if (wanted !== undefined) return readings.find((reading) => reading.name === wanted);
  return readings.length === 1 ? readings[0] : undefined;
}

/** What keeps a value of the file from being used. */
export type Lack =
  /** The file does not say at which angle it was measured. */
  | 'angle'
  /** A Lab of which the file says the illuminant or the observer, but not both, or a light unknown here. */
  | 'light'
  /** A spectrum corrected for bandpass in a reading of uncorrected ones, or the other way round. */
  | 'bandpass';

export interface Unused {
  readonly lack: Lack;
  readonly value: ImportedValue;
}

/** Values of the file that are not used; empty for a reading without a file. */
export const unusedOf = (book: Book, cell: EntryCell, measured: Measured): readonly Unused[] =>
  sorted(book, cell, measured).unused;

/** Whether a sphere saw the gloss, where the file says so. */
export const specularOf = (book: Book, cell: EntryCell, measured: Measured): ImportedValue['specular'] =>
  chosen(book, cell, measured)?.values.find((value) => value.specular)?.specular;

/** The reading's own lines, and the values of its file for every angle that it has no lines for. */
export function importedInto(book: Book, cell: EntryCell, measured: Measured): Measured {
  const reading = chosen(book, cell, measured);
  if (!reading) return measured;
  const { labs, spectra, bandpass } = sorted(book, cell, measured);
  return {
    ...measured,
    taken: measured.taken ?? reading.taken,
    bandpass,
    labs: [...measured.labs, ...labs],
    spectra: [...measured.spectra, ...spectra],
  };
}

interface Sorted {
  readonly labs: readonly LabLine[];
  readonly spectra: readonly SpectrumLine[];
  readonly bandpass: Bandpass;
  readonly unused: readonly Unused[];
}

function sorted(book: Book, cell: EntryCell, measured: Measured): Sorted {
  const values = chosen(book, cell, measured)?.values ?? [];
  const bandpass = bandpassOf(cell, measured, values);
  // An instrument of one angle cannot have read at another.
  const geometries =
    measured.instrument === undefined ? [] : (instrumentNamed(book, measured.instrument)?.geometries ?? []);
  const only = geometries.length === 1 ? geometries[0] : undefined;
  const own = new Set([...measured.labs, ...measured.spectra].map((one) => one.geometry));
  const labs: LabLine[] = [];
  const spectra: SpectrumLine[] = [];
  const unused: Unused[] = [];
  for (const value of values) {
    const { lab, spectrum, take = 1 } = value;
    const geometry = value.geometry ?? only;
    if (geometry === undefined) unused.push({ lack: 'angle', value });
    else if (!own.has(geometry)) {
      const { line } = measured.file!;
      const viewing = viewingIn(value);
      if (spectrum && (value.bandpass ?? bandpass) !== bandpass) unused.push({ lack: 'bandpass', value });
      else if (spectrum) spectra.push({ geometry, take, spectrum, line });
      if (lab && viewing === 'half said') unused.push({ lack: 'light', value });
      else if (lab) labs.push({ geometry, take, lab, viewing, line });
    }
  }
  return { labs, spectra, bandpass, unused };
}

/** Nothing where the file says neither: then the main illuminant and observer of the book are meant, and the import says so. */
function viewingIn({ illuminant, observer }: ImportedValue): string | undefined {
  if (illuminant === undefined && observer === undefined) return undefined;
  const written = `${illuminant}/${observer}`;
  return viewingOf(written) ? written : 'half said';
}

/** What the entry says; else, where all its spectra come from the file, what the file says. */
function bandpassOf(cell: EntryCell, measured: Measured, values: readonly ImportedValue[]): Bandpass {
  if (lineOf(cell.entry, 'bandpass') || measured.spectra.length > 0) return measured.bandpass;
  return values.find((value) => value.spectrum && value.bandpass)?.bandpass ?? measured.bandpass;
}
