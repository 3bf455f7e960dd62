/** Values that a reading takes from an open-format file (`file "sam-door.cgats"`), beside those written in its lines. */
import { readReadings } from '../formats/detect.ts';
import type { ImportResult } from '../formats/imported.ts';
import { type Book, importUri } from './book.ts';
import type { EntryCell } from './cell.ts';
import type { LabLine, Measured, SpectrumLine } from './entries/measured.ts';
import { measuredIn } from './known.ts';

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

/** The reading's own lines, and the values of its file for every angle that it has no lines for. */
export function importedInto(book: Book, cell: EntryCell, measured: Measured): Measured {
  const readings = importOf(book, cell, measured)?.result?.readings ?? [];
  const wanted = measured.file?.sample;
  const chosen =
    wanted === undefined
      ? readings.length === 1
        ? readings[0]
        : undefined
      : readings.find((reading) => reading.name === wanted);
  if (!chosen || !measured.file) return measured;
  const { line } = measured.file;
  const own = new Set([...measured.labs, ...measured.spectra].map((one) => one.geometry));
  const labs: LabLine[] = [];
  const spectra: SpectrumLine[] = [];
  for (const value of chosen.values) {
    const geometry = value.geometry ?? '45/0';
    if (own.has(geometry)) continue;
    const take = value.take ?? 1;
    if (value.spectrum) spectra.push({ geometry, take, spectrum: value.spectrum, line });
    if (value.lab)
      labs.push({ geometry, take, lab: value.lab, viewing: viewingText(value.illuminant, value.observer), line });
  }
  return { ...measured, labs: [...measured.labs, ...labs], spectra: [...measured.spectra, ...spectra] };
}

const viewingText = (illuminant: string | undefined, observer: string | undefined): string | undefined =>
  illuminant === undefined ? undefined : `${illuminant}/${observer ?? '10'}`;
