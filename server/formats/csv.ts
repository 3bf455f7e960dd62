/**
 * CSV with named columns (RFC 4180): `name,take,geometry,illuminant,observer,L,a,b`, or a column for each wavelength. Semicolons and
 * tabs separate as well. A decimal comma is read only between semicolons or tabs, and only where every number has one.
 */
import Papa from 'papaparse';
import { csvField } from './fields.ts';
import { Gathering, MOST_VALUES } from './gathering.ts';
import {
  collect,
  type FilePlace,
  FileRefused,
  type ImportFindings,
  type ImportOptions,
  type ImportResult,
  quote,
} from './imported.ts';
import { type Column, type Row, readTable } from './table.ts';
import { refuseLongLines } from './text.ts';

type Separator = ',' | ';' | '\t';

/** Reads text whose lines end in LF. */
export function readCsv(text: string, options: ImportOptions = {}): ImportResult {
  return collect((findings) => {
    refuseLongLines(text);
    const separator = separatorOf(text);
    const [header, ...rows] = rowsOf(text, separator);
    if (!header)
      throw new FileRefused('There is no header row; name the columns: name,geometry,L,a,b.', { line: 1, column: 1 });
    const columns = columnsOf(header, findings);
    const whole = rows.filter((row) => evenly(row, columns.length, findings));
    if (rows.length === 0)
      findings.error(header.place(0), 'There is no row below the header; measure, and export again.');
    const gathering = new Gathering(findings, true);
    const table = { columns, rows: whole, facts: {} };
    readTable(
      separator === ',' ? { ...table, noComma: 'has a decimal comma while commas separate the columns' } : table,
      gathering,
      options,
    );
    return gathering.done();
  });
}

/** Whether the first line names columns that a reading needs. */
export function looksLikeCsv(text: string): boolean {
  const fields = firstLine(text)
    .split(separatorOf(text))
    .map((name) => csvField(name.replace(/^"|"$/g, '')).is);
  return (
    (fields.includes('name') || fields.includes('id')) &&
    fields.some((is) => ['lab', 'lch', 'xyz', 'reflectance'].includes(is))
  );
}

const firstLine = (text: string): string => /^\s*([^\n]*)/.exec(text.slice(0, 100_000))?.[1] ?? '';

/** The header decides: names hold neither tabs nor semicolons. */
function separatorOf(text: string): Separator {
  const header = firstLine(text);
  if (header.includes('\t')) return '\t';
  return header.includes(';') ? ';' : ',';
}

function rowsOf(text: string, separator: Separator): Row[] {
  const rows: Row[] = [];
  const lines = lineStarts(text);
  let start = 0;
  Papa.parse<string[]>(text, {
    delimiter: separator,
    newline: '\n',
    step: ({ data, errors, meta }) => {
      const place = cellPlaces(text, lines, start, meta.cursor, separator);
      start = meta.cursor;
      if (errors.length > 0) throw new FileRefused(`${quoteProblem(errors[0]!.code)}`, place(data.length - 1));
      if (data.every((cell) => cell.trim() === '') && data.length === 1) return;
      if (rows.length > MOST_VALUES)
        throw new FileRefused(`There are more than ${MOST_VALUES} rows; export fewer.`, place(0));
      rows.push({ cells: data, place });
    },
  });
  return rows;
}

const quoteProblem = (code: string): string =>
  code === 'MissingQuotes'
    ? "A quote opens in this row and is not closed; write the closing '\"'."
    : 'A quote stands inside of a cell; put the whole cell in quotes, and double the quote inside.';

function lineStarts(text: string): number[] {
  const starts = [0];
  for (let at = text.indexOf('\n'); at >= 0; at = text.indexOf('\n', at + 1)) starts.push(at + 1);
  return starts;
}

/** Places are asked for only when something is wrong, so cells are counted again then. */
function cellPlaces(
  text: string,
  lines: readonly number[],
  from: number,
  to: number,
  separator: Separator,
): (at: number) => FilePlace {
  return (wanted) => {
    let cell = 0;
    let quoted = false;
    let at = from;
    for (; at < to && cell < wanted; at++) {
      if (text[at] === '"') quoted = !quoted;
      else if (text[at] === separator && !quoted) cell++;
    }
    return placeIn(lines, Math.min(at, text.length));
  };
}

function placeIn(lines: readonly number[], offset: number): FilePlace {
  let low = 0;
  let high = lines.length - 1;
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if (lines[middle]! <= offset) low = middle;
    else high = middle - 1;
  }
  return { line: low + 1, column: offset - lines[low]! + 1 };
}

function columnsOf(header: Row, findings: ImportFindings): Column[] {
  const names = new Map<string, number>();
  return header.cells.map((cell, at) => {
    const name = cell.trim();
    const place = header.place(at);
    const field = csvField(name);
    const first = names.get(name.toLowerCase());
    if (name !== '' && first !== undefined && field.is === 'unread') {
      findings.error(place, `The column ${quote(name)} comes twice; give each column its own name.`);
    } else if (name === '' && at < header.cells.length - 1)
      findings.error(place, 'A column has no name; name it, or remove it.');
    else if (field.is === 'unread' && name !== '') {
      findings.info(
        place,
        `The column ${quote(name)} holds no name, angle or colour that a reading takes, and was left out.`,
      );
    }
    names.set(name.toLowerCase(), at);
    return { name, field, place };
  });
}

function evenly(row: Row, columns: number, findings: ImportFindings): boolean {
  if (row.cells.length === columns) return true;
  const place = row.place(Math.min(row.cells.length - 1, columns));
  findings.error(place, `The row has ${row.cells.length} cells for ${columns} columns; give every column one cell.`);
  return false;
}
