/** A table of named columns made into readings; CGATS and CSV both end here. */
import type { Lab } from '../colour/lab.ts';
import type { Observer } from '../colour/observers.ts';
import type { Spectrum } from '../colour/spectrum.ts';
import type { Bandpass } from '../colour/weights.ts';
import { type Field, isMeasured } from './fields.ts';
import type { Gathering } from './gathering.ts';
import { dateOf, geometryOf, illuminantOf, observerOf, specularOf } from './geometry.ts';
import { type FilePlace, type ImportedValue, type ImportFindings, type ImportOptions, quote } from './imported.ts';
import { checkedLab, checkedSpectrum, type Grid, gridOf, labOfCylinder, labOfTristimulus } from './measured.ts';
import { decimalMarks, readNumber } from './number.ts';
import { detectScale, type RawSpectrum } from './scale.ts';

export interface Column {
  readonly name: string;
  readonly field: Field;
  readonly place: FilePlace;
}

export interface Row {
  readonly cells: readonly string[];
  /** Place of a cell. */
  place(at: number): FilePlace;
}

/** What the header of the table says of all its rows. */
export interface TableFacts {
  readonly geometry?: string | undefined;
  readonly specular?: 'included' | 'excluded' | undefined;
  readonly illuminant?: string | undefined;
  readonly observer?: Observer | undefined;
  readonly taken?: string | undefined;
  readonly instrument?: string | undefined;
  /** The scale of spectra, where the header names it. */
  readonly scale?: 'fraction' | 'per cent' | undefined;
}

export interface Table {
  readonly columns: readonly Column[];
  readonly rows: readonly Row[];
  readonly facts: TableFacts;
  /** Why a decimal comma cannot be meant here, or nothing where it can. */
  readonly noComma?: string;
}

interface RawValue {
  readonly head: {
    readonly key: string;
    readonly name: string;
    readonly taken?: string | undefined;
    readonly instrument?: string | undefined;
  };
  readonly value: ImportedValue;
  spectrum?: RawSpectrum;
}

/** Adds every row of the table to the gathering; what is wrong becomes a finding at its cell. */
export function readTable(table: Table, gathering: Gathering, options: ImportOptions): void {
  const { findings } = gathering;
  if (!checkColumns(table, findings)) return;
  const mark = decimalMark(table, findings);
  if (!mark) return;
  const reader = new RowReader(table, mark, findings);
  const raw = joinedPairs(
    table,
    table.rows.flatMap((row) => reader.read(row)),
    findings,
  );
  const spectra = raw.flatMap(({ spectrum, value }) => (spectrum ? [{ ...spectrum, lab: value.lab }] : []));
  const scale = spectra.length > 0 ? detectScale(spectra, table.facts.scale ?? options.scale, findings) : 'fraction';
  if (!scale) return;
  for (const { head, value, spectrum } of raw) {
    const scaled = spectrum && scaledSpectrum(spectrum, scale, findings);
    gathering.add(head, scaled ? { ...value, spectrum: scaled } : value);
  }
}

function scaledSpectrum(
  raw: RawSpectrum,
  scale: 'fraction' | 'per cent',
  findings: ImportFindings,
): Spectrum | undefined {
  const divisor = (raw.scale ?? scale) === 'per cent' ? 100 : 1;
  return checkedSpectrum(
    raw.grid,
    raw.values.map((value) => value / divisor),
    raw.places,
    findings,
  );
}

// ---- columns

function checkColumns(table: Table, findings: ImportFindings): boolean {
  const { columns } = table;
  const place = columns[0]?.place ?? { line: 1, column: 1 };
  const has = (is: Field['is']): boolean => columns.some(({ field }) => field.is === is);
  let sound = noneTwice(columns, findings);
  for (const kind of ['lab', 'lch', 'xyz'] as const) sound = wholeTriple(columns, kind, findings) && sound;
  if (!has('name') && !has('id')) {
    findings.error(place, 'No column names the sample; add one called SAMPLE_NAME or SAMPLE_ID (in CSV: name).');
    sound = false;
  }
  if (!columns.some(({ field }) => isMeasured(field))) {
    findings.error(
      place,
      'No column holds a colour; export LAB_L LAB_A LAB_B (in CSV: L,a,b) or a column for each wavelength.',
    );
    sound = false;
  }
  return spectralColumns(columns, findings) && sound;
}

function noneTwice(columns: readonly Column[], findings: ImportFindings): boolean {
  const seen = new Map<string, Column>();
  let sound = true;
  for (const column of columns) {
    const { field } = column;
    if (field.is === 'unread' || field.is === 'wavelength' || field.is === 'per cent' || field.is === 'fraction')
      continue;
    const key = JSON.stringify(field);
    const first = seen.get(key);
    if (first) {
      findings.error(
        column.place,
        `The column ${quote(column.name)} says the same as ${quote(first.name)}; keep one of them.`,
      );
      sound = false;
    }
    seen.set(key, column);
  }
  return sound;
}

const TRIPLES = { lab: ['L*', 'a*', 'b*'], lch: ['L*', 'C*', 'h'], xyz: ['X', 'Y', 'Z'] } as const;

function wholeTriple(columns: readonly Column[], kind: 'lab' | 'lch' | 'xyz', findings: ImportFindings): boolean {
  const found = columns.filter(({ field }) => field.is === kind);
  const at = new Set(found.map(({ field }) => ('at' in field ? field.at : 0)));
  // A plain L serves LCh as well as Lab.
  const lent = kind === 'lch' && columns.some(({ field }) => field.is === 'lab' && field.at === 0);
  if (lent) at.add(0);
  const lending = kind === 'lab' && at.size === 1 && at.has(0) && columns.some(({ field }) => field.is === 'lch');
  if (found.length === 0 || at.size === 3 || lending) return true;
  const missing = TRIPLES[kind].filter((_, index) => !at.has(index as 0 | 1 | 2));
  findings.error(
    found[0]!.place,
    `The column for ${missing.join(' and ')} is missing; export ${TRIPLES[kind].join(', ')} together.`,
  );
  return false;
}

function spectralColumns(columns: readonly Column[], findings: ImportFindings): boolean {
  const bands = columns.filter(({ field }) => field.is === 'reflectance');
  const pairs = columns.filter(({ field }) => field.is === 'wavelength');
  const unpaired = columns.findIndex(
    ({ field }, at) => !pairedRightly(field, columns[at - 1]?.field, columns[at + 1]?.field),
  );
  if (unpaired >= 0) {
    findings.error(
      columns[unpaired]!.place,
      'SPECTRAL_NM must stand before each SPECTRAL_PCT or SPECTRAL_DEC; export them in pairs.',
    );
    return false;
  }
  if (bands.length > 0 && pairs.length > 0) {
    findings.error(pairs[0]!.place, 'Spectra come both in columns and in pairs of SPECTRAL_NM; keep one of the two.');
    return false;
  }
  if (bands.length === 0) return true;
  const grid = gridOf(bands.map(({ field }) => (field.is === 'reflectance' ? field.nm : 0)));
  if ('start' in grid) return true;
  findings.error(bands[grid.at]!.place, grid.problem);
  return false;
}

function pairedRightly(field: Field, before: Field | undefined, after: Field | undefined): boolean {
  if (field.is === 'wavelength') return after?.is === 'per cent' || after?.is === 'fraction';
  return (field.is !== 'per cent' && field.is !== 'fraction') || before?.is === 'wavelength';
}

// ---- decimal marks

/**
 * A decimal comma is read only where it cannot be anything else: the comma does not separate columns, and no measured number of the
 * table has a point. Measured colours stay below a thousand, so the comma is no thousands mark.
 */
function decimalMark(table: Table, findings: ImportFindings): '.' | ',' | undefined {
  const measured = table.columns.map(({ field }) => isMeasured(field) || field.is === 'wavelength');
  let comma: FilePlace | undefined;
  let text = '';
  let point = false;
  for (const row of table.rows) {
    for (const [at, cell] of row.cells.entries()) {
      if (!measured[at]) continue;
      const marks = decimalMarks(cell);
      point ||= marks.point;
      if (marks.comma && !comma) {
        comma = row.place(at);
        text = cell;
      }
    }
  }
  if (!comma) return '.';
  if (!point && table.noComma === undefined) {
    findings.info(comma, 'Every measured number of the table has a decimal comma; they were read so.');
    return ',';
  }
  const why = table.noComma ?? 'has a decimal comma while others have a decimal point';
  findings.error(comma, `${quote(text)} ${why}; write decimal points.`);
  return undefined;
}

// ---- rows

class RowReader {
  readonly #grid: Grid | undefined;
  readonly #bands: number[];
  readonly #pairs: number[];

  constructor(
    readonly table: Table,
    readonly mark: '.' | ',',
    readonly findings: ImportFindings,
  ) {
    this.#bands = this.#columns('reflectance');
    this.#pairs = this.#columns('wavelength');
    const nm = this.#bands.map((at) => (table.columns[at]!.field as { nm: number }).nm);
    const grid = nm.length > 0 ? gridOf(nm) : undefined;
    this.#grid = grid && 'start' in grid ? grid : undefined;
  }

  #columns(is: Field['is']): number[] {
    return this.table.columns.flatMap(({ field }, at) => (field.is === is ? [at] : []));
  }

  read(row: Row): RawValue[] {
    const { facts } = this.table;
    const name = this.#word(row, 'name') ?? this.#word(row, 'id');
    if (name === undefined) {
      this.findings.error(row.place(0), 'The row does not name its sample; write a name.');
      return [];
    }
    const place = row.place(0);
    const geometry =
      this.#said(row, 'geometry', geometryOf, 'geometry; write it like 45as15, 45/0 or d/8') ?? facts.geometry;
    const specular = this.#specular(row) ?? facts.specular;
    const illuminant =
      this.#said(row, 'illuminant', illuminantOf, 'CIE illuminant; write D65, A, F11 …') ?? facts.illuminant;
    const observer = this.#said(row, 'observer', observerOf, 'standard observer; write 2 or 10') ?? facts.observer;
    const bandpass = this.#said(row, 'bandpass', bandpassOf, "bandpass; write 'corrected' or 'uncorrected'");
    const take = this.#said(row, 'take', takeOf, 'take; write 1, 2, 3 …');
    const lab = this.#lab(row, illuminant, observer);
    const spectrum = this.#spectrum(row);
    if (!lab && !spectrum) {
      if (lab === null || spectrum === null) return [];
      this.findings.error(place, `The row of ${quote(name)} holds no colour; measure it, or remove the row.`);
      return [];
    }
    const taken = this.#said(row, 'taken', dateOf, 'date; write it like 2026-10-14T09:20') ?? facts.taken;
    const value: ImportedValue = {
      ...(geometry !== undefined && { geometry }),
      ...(take !== undefined && { take }),
      ...(illuminant !== undefined && { illuminant }),
      ...(observer !== undefined && { observer }),
      ...(lab && { lab }),
      ...(bandpass !== undefined && { bandpass }),
      ...(specular !== undefined && { specular }),
      place,
    };
    const head = {
      key: name.normalize('NFC'),
      name,
      taken,
      instrument: this.#word(row, 'instrument') ?? facts.instrument,
    };
    return [spectrum ? { head, value, spectrum } : { head, value }];
  }

  #word(row: Row, is: Field['is']): string | undefined {
    const at = this.table.columns.findIndex(({ field }) => field.is === is);
    const text = at < 0 ? '' : row.cells[at]!.trim();
    return text === '' ? undefined : text;
  }

  #said<T>(row: Row, is: Field['is'], meaning: (text: string) => T | undefined, what: string): T | undefined {
    const text = this.#word(row, is);
    if (text === undefined) return undefined;
    const said = meaning(text);
    if (said === undefined) {
      const at = this.table.columns.findIndex(({ field }) => field.is === is);
      this.findings.error(row.place(at), `${quote(text)} is no ${what}.`);
    }
    return said;
  }

  #specular(row: Row): 'included' | 'excluded' | undefined {
    const text = this.#word(row, 'geometry');
    return text === undefined ? undefined : specularOf(text);
  }

  /** Undefined: none given. Null: one was given and is wrong, and a finding says so. */
  #lab(row: Row, illuminant: string | undefined, observer: Observer | undefined): Lab | undefined | null {
    const lab = this.#triple(row, 'lab');
    if (lab !== undefined) return lab && (checkedLab(lab, row.place(this.#columns('lab')[0]!), this.findings) ?? null);
    const lch = this.#triple(row, 'lch');
    if (lch !== undefined)
      return lch && (checkedLab(labOfCylinder(lch), row.place(this.#columns('lch')[0]!), this.findings) ?? null);
    const xyz = this.#triple(row, 'xyz');
    if (!xyz) return xyz;
    // A spectrum in the same row says more than XYZ, and needs no illuminant.
    if (this.#bands.length + this.#pairs.length > 0) return undefined;
    const place = row.place(this.#columns('xyz')[0]!);
    const computed = labOfTristimulus(xyz, illuminant, observer);
    if (!computed) {
      this.findings.error(
        place,
        'XYZ needs an illuminant and an observer that the book knows to become Lab; name them, or export Lab.',
      );
      return null;
    }
    return checkedLab(computed, place, this.findings) ?? null;
  }

  #triple(row: Row, kind: 'lab' | 'lch' | 'xyz'): [number, number, number] | undefined | null {
    const columns = ([0, 1, 2] as const).map((index) => this.#tripleColumn(kind, index));
    if (columns.includes(-1) || columns.every((at) => blank(row.cells[at]!))) return undefined;
    // L alone may belong to LCh.
    if (kind === 'lab' && this.#tripleColumn('lch', 1) >= 0 && blank(row.cells[columns[1]!]!)) return undefined;
    const numbers = columns.map((at) => this.#number(row, at));
    return numbers.includes(undefined) ? null : (numbers as [number, number, number]);
  }

  #tripleColumn(kind: 'lab' | 'lch' | 'xyz', index: 0 | 1 | 2): number {
    const at = this.table.columns.findIndex(({ field }) => field.is === kind && field.at === index);
    return at < 0 && kind === 'lch' && index === 0 ? this.#tripleColumn('lab', 0) : at;
  }

  #spectrum(row: Row): RawSpectrum | undefined | null {
    if (this.#grid) return this.#banded(row, this.#grid);
    return this.#pairs.length > 0 ? this.#paired(row) : undefined;
  }

  #banded(row: Row, grid: Grid): RawSpectrum | undefined | null {
    if (this.#bands.every((at) => blank(row.cells[at]!))) return undefined;
    const numbers = this.#bands.map((at) => this.#number(row, at));
    if (numbers.includes(undefined)) return null;
    return { grid, values: Float64Array.from(numbers as number[]), places: (at) => row.place(this.#bands[at]!) };
  }

  /** One pair a row is a spectrum told downwards; `joinedPairs` puts it together. */
  #paired(row: Row): RawSpectrum | null {
    const nm = this.#pairs.map((at) => this.#number(row, at));
    const numbers = this.#pairs.map((at) => this.#number(row, at + 1));
    if (nm.includes(undefined) || numbers.includes(undefined)) return null;
    const places = (at: number): FilePlace => row.place(this.#pairs[at]! + 1);
    const scale = this.table.columns[this.#pairs[0]! + 1]!.field.is as 'per cent' | 'fraction';
    const odd = this.#pairs.find((at) => this.table.columns[at + 1]!.field.is !== scale);
    if (odd !== undefined) {
      this.findings.error(
        this.table.columns[odd + 1]!.place,
        'SPECTRAL_PCT and SPECTRAL_DEC are mixed in one row; keep one of the two.',
      );
      return null;
    }
    const values = Float64Array.from(numbers as number[]);
    if (nm.length === 1) return { grid: { start: nm[0]!, step: 0 }, values, places, scale };
    const grid = gridOf(nm as number[]);
    if ('start' in grid) return { grid, values, places, scale };
    this.findings.error(row.place(this.#pairs[grid.at]!), grid.problem);
    return null;
  }

  #number(row: Row, at: number): number | undefined {
    const read = readNumber(row.cells[at]!.trim(), this.mark);
    if ('value' in read) return read.value;
    this.findings.error(row.place(at), read.problem);
    return undefined;
  }
}

const blank = (cell: string): boolean => cell.trim() === '';
const takeOf = (text: string): number | undefined => (/^0*[1-9]\d{0,5}$/.test(text) ? Number(text) : undefined);
const bandpassOf = (text: string): Bandpass | undefined =>
  (['corrected', 'uncorrected'] as const).find((way) => way === text.toLowerCase());

/** With one SPECTRAL_NM pair a row, the rows that follow each other under one name, angle and take are one spectrum. */
function joinedPairs(table: Table, raw: RawValue[], findings: ImportFindings): RawValue[] {
  if (table.columns.filter(({ field }) => field.is === 'wavelength').length !== 1) return raw;
  const runs: RawValue[][] = [];
  for (const one of raw) {
    const last = runs.at(-1)?.[0];
    if (
      last &&
      last.head.key === one.head.key &&
      last.value.geometry === one.value.geometry &&
      last.value.take === one.value.take
    ) {
      runs.at(-1)!.push(one);
    } else runs.push([one]);
  }
  return runs.flatMap((run) => {
    const grid = gridOf(run.map(({ spectrum }) => spectrum!.grid.start));
    if (!('start' in grid)) {
      findings.error(run[grid.at]!.value.place, grid.problem);
      return [];
    }
    const places = (at: number): FilePlace => run[at]!.spectrum!.places(0);
    const values = Float64Array.from(run, ({ spectrum }) => spectrum!.values[0]!);
    const first = run[0]!;
    return [{ head: first.head, value: first.value, spectrum: { grid, values, places, scale: first.spectrum!.scale } }];
  });
}
