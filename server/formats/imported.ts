/**
 * What every reader of an open format hands over: readings with the place of each value, and findings. A file with one error gives
 * no reading at all, so that half a measurement never looks like a whole one.
 */
import type { Lab } from '../colour/lab.ts';
import type { Observer } from '../colour/observers.ts';
import type { Spectrum } from '../colour/spectrum.ts';
import type { Bandpass } from '../colour/weights.ts';

/** A place in the imported file; both count from 1, columns in UTF-16 units as editors do. */
export interface FilePlace {
  readonly line: number;
  readonly column: number;
}

/** One measurement at one angle: a Lab, a spectrum, or both of the same take. */
export interface ImportedValue {
  /** As the book writes it: 45as15, 45as-15, 45/0, d/8. Absent where the file does not say. */
  readonly geometry?: string;
  /** From 1. */
  readonly take?: number;
  /** CIE name: D65, A, F11. It belongs to the Lab; a spectrum has none. */
  readonly illuminant?: string;
  /** Degrees of the CIE standard observer. */
  readonly observer?: Observer;
  readonly lab?: Lab;
  readonly spectrum?: Spectrum;
  /** Whether the spectrum is corrected for the instrument's bandpass; absent where the file does not say. */
  readonly bandpass?: Bandpass;
  /** Sphere geometries only. */
  readonly specular?: 'included' | 'excluded';
  readonly place: FilePlace;
}

export interface ImportedReading {
  readonly name: string;
  /** ISO 8601, as in the file: 2026-10-14 or 2026-10-14T09:20:00Z. */
  readonly taken?: string;
  readonly instrument?: string;
  readonly values: readonly ImportedValue[];
}

export type ImportSeverity = 'error' | 'warning' | 'info';

export interface ImportFinding extends FilePlace {
  readonly severity: ImportSeverity;
  /** What is wrong, and what to do. */
  readonly message: string;
}

export interface ImportResult {
  /** Empty when any finding is an error. */
  readonly readings: readonly ImportedReading[];
  readonly findings: readonly ImportFinding[];
}

/** What the person who imports may say about the file. */
export interface ImportOptions {
  /** The scale of spectra whose fields do not name it; otherwise it is detected, and said. */
  readonly scale?: 'fraction' | 'per cent';
}

/** Thrown inside the readers where reading on makes no sense; `collect` turns it into a finding. */
export class FileRefused extends Error {
  constructor(
    message: string,
    readonly place: FilePlace,
  ) {
    super(message);
  }
}

/** After so many errors the file is not what it claims to be, and more of them help nobody. */
const MOST_ERRORS = 20;
const MOST_REMARKS = 200;

export class ImportFindings {
  readonly found: ImportFinding[] = [];
  #errors = 0;
  #remarks = 0;

  get refused(): boolean {
    return this.#errors > 0;
  }

  error(place: FilePlace, message: string): void {
    this.found.push({ severity: 'error', message, line: place.line, column: place.column });
    if (++this.#errors === MOST_ERRORS)
      throw new FileRefused('The file has too many errors; the rest was not read.', place);
  }

  warning(place: FilePlace, message: string): void {
    this.#remark('warning', place, message);
  }

  info(place: FilePlace, message: string): void {
    this.#remark('info', place, message);
  }

  #remark(severity: ImportSeverity, place: FilePlace, message: string): void {
    if (++this.#remarks > MOST_REMARKS) return;
    this.found.push({ severity, message, line: place.line, column: place.column });
  }
}

/** Runs a reader; a refusal becomes an error finding, and any error drops every reading. */
export function collect(read: (findings: ImportFindings) => ImportedReading[]): ImportResult {
  const findings = new ImportFindings();
  let readings: ImportedReading[] = [];
  try {
    readings = read(findings);
  } catch (refusal) {
    if (!(refusal instanceof FileRefused)) throw refusal;
    const { line, column } = refusal.place;
    return {
      readings: [],
      findings: [...findings.found, { severity: 'error', message: refusal.message, line, column }],
    };
  }
  if (readings.length === 0 && !findings.refused) {
    findings.error(
      { line: 1, column: 1 },
      'There is no reading in this file; export reflectance spectra or Lab values.',
    );
  }
  return { readings: findings.refused ? [] : readings, findings: findings.found };
}

/** Text of the file as it may stand in a message: short, on one line. */
export function quote(text: string): string {
  const flat = text.replace(/[\s\u0000-\u001f\u007f]+/g, ' ').trim();
  return `'${flat.length > 40 ? `${flat.slice(0, 39)}…` : flat}'`;
}
