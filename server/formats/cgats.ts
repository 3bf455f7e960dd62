/**
 * CGATS.17 / ISO 28178 in its text form: a signature line, then tables, each with a header of keywords, a list of fields and rows.
 * Own keywords are allowed when KEYWORD declares them; GEOMETRY and TAKE, which the standard lacks, are read as fields or keywords.
 */
import { cgatsField, type Field } from './fields.ts';
import { Gathering, MOST_VALUES } from './gathering.ts';
import { dateOf, geometryOf, illuminantOf, observerOf, specularOf } from './geometry.ts';
import {
  collect,
  type FilePlace,
  FileRefused,
  type ImportFindings,
  type ImportOptions,
  type ImportResult,
  quote,
} from './imported.ts';
import { type Column, type Row, readTable, type TableFacts } from './table.ts';
import { refuseLongLines } from './text.ts';

const MOST_FIELDS = 2_000;
const MOST_TABLES = 200;

/** Reads text whose lines end in LF. */
export function readCgats(text: string, options: ImportOptions = {}): ImportResult {
  return collect((findings) => {
    refuseLongLines(text);
    const gathering = new Gathering(findings, true);
    new CgatsReader(text.replace(/^\ufeff/, '').split('\n'), gathering, options).read();
    return gathering.done();
  });
}

export const looksLikeCgats = (text: string): boolean =>
  /^\s*(CGATS|ISO ?28178)/i.test(text) || /^[ \t]*BEGIN_DATA(_FORMAT)?[ \t]*$/m.test(text);

interface Token {
  readonly text: string;
  readonly quoted: boolean;
  readonly place: FilePlace;
}

interface Line {
  readonly number: number;
  readonly raw: string;
  readonly tokens: readonly Token[];
}

interface Header {
  facts: { -readonly [fact in keyof TableFacts]: TableFacts[fact] };
  fields?: Count;
  sets?: Count;
}

interface Count {
  readonly value: number;
  readonly place: FilePlace;
}

class CgatsReader {
  readonly #findings: ImportFindings;
  readonly #declared = new Set<string>();
  #at = 0;
  #tables = 0;

  constructor(
    readonly lines: readonly string[],
    readonly gathering: Gathering,
    readonly options: ImportOptions,
  ) {
    this.#findings = gathering.findings;
  }

  read(): void {
    this.#signature();
    // Who measured, with what and when holds for the file; angle, illuminant and observer only for their table.
    let file: Pick<TableFacts, 'taken' | 'instrument'> = {};
    while (this.#skipBlank()) {
      const table = this.#table({ facts: { ...file } });
      file = { taken: table.taken, instrument: table.instrument };
    }
    if (this.#tables === 0)
      throw new FileRefused('The file ends before BEGIN_DATA; it is cut short, export it again.', this.#end());
  }

  /** The first word, alone on its line. A file that begins with its header at once is read, and told. */
  #signature(): void {
    if (!this.#skipBlank()) return;
    const line = this.#peek()!;
    if (
      /^\s*ISO 28178\s*$/i.test(line.raw) ||
      (line.tokens.length === 1 && !STRUCTURE.has(line.tokens[0]!.text.toUpperCase()))
    ) {
      this.#at++;
      return;
    }
    this.#findings.warning(
      line.tokens[0]!.place,
      'The first line is not the signature of the format; write CGATS.17 there.',
    );
  }

  #table(header: Header): TableFacts {
    const start = this.#peek()!.tokens[0]!.place;
    if (++this.#tables > MOST_TABLES)
      throw new FileRefused(`There are more than ${MOST_TABLES} tables; export fewer at a time.`, start);
    let columns: Column[] | undefined;
    for (let line = this.#next(); line; line = this.#next()) {
      const [first, ...rest] = line.tokens;
      const word = first!.text.toUpperCase();
      if (word === 'BEGIN_DATA_FORMAT') {
        if (columns) this.#findings.error(first!.place, 'The table has a second BEGIN_DATA_FORMAT; keep one.');
        columns = this.#format(first!, rest);
      } else if (word === 'BEGIN_DATA') {
        this.#data(first!, rest, columns, header);
        return header.facts;
      } else if (word === 'END_DATA' || word === 'END_DATA_FORMAT') {
        throw new FileRefused(
          `${word} stands here without its ${word.replace('END', 'BEGIN')}; export the file again.`,
          first!.place,
        );
      } else this.#keyword(first!, rest, header);
    }
    // Keywords after the last table are harmless; fields without data are half a file.
    if (columns)
      throw new FileRefused('The file ends before BEGIN_DATA; it is cut short, export it again.', this.#end());
    if (this.#tables === 1)
      throw new FileRefused('There is no BEGIN_DATA_FORMAT in this file; it is cut short or no CGATS.17.', this.#end());
    return header.facts;
  }

  #format(begin: Token, rest: readonly Token[]): Column[] {
    const tokens = [...rest];
    for (let line = this.#next(); line; line = this.#next()) {
      const end = line.tokens.findIndex(({ text, quoted }) => !quoted && text.toUpperCase() === 'END_DATA_FORMAT');
      const stray = line.tokens.find(({ text }) => /^(BEGIN_DATA|END_DATA|BEGIN_DATA_FORMAT)$/i.test(text));
      if (stray)
        throw new FileRefused(
          `END_DATA_FORMAT is missing before ${quote(stray.text)}; write it after the last field.`,
          stray.place,
        );
      tokens.push(...(end < 0 ? line.tokens : line.tokens.slice(0, end)));
      if (tokens.length > MOST_FIELDS)
        throw new FileRefused(`There are more than ${MOST_FIELDS} fields; export fewer.`, begin.place);
      if (end >= 0) return this.#columns(tokens, begin.place);
    }
    throw new FileRefused(
      'BEGIN_DATA_FORMAT has no END_DATA_FORMAT; the file is cut short, export it again.',
      begin.place,
    );
  }

  #columns(tokens: readonly Token[], begin: FilePlace): Column[] {
    if (tokens.length === 0)
      this.#findings.error(begin, 'The list of fields is empty; write SAMPLE_ID LAB_L LAB_A LAB_B or such.');
    return tokens.map(({ text, place }) => {
      const field: Field = cgatsField(text);
      if (field.is === 'unread' && /^SPECTRAL/i.test(text)) {
        this.#findings.error(place, `${quote(text)} names no wavelength; write it like SPECTRAL_400.`);
      } else if (field.is === 'unread' && !COMPANY.test(text)) {
        this.#findings.info(
          place,
          `The field ${quote(text)} holds no name, angle or colour that a reading takes, and was left out.`,
        );
      }
      return { name: text, field, place };
    });
  }

  #data(begin: Token, rest: readonly Token[], columns: Column[] | undefined, header: Header): void {
    if (!columns)
      throw new FileRefused(
        'BEGIN_DATA comes without BEGIN_DATA_FORMAT; name the fields of this table first.',
        begin.place,
      );
    if (rest.length > 0)
      throw new FileRefused('The data begin on the line of BEGIN_DATA; put them on the next line.', rest[0]!.place);
    const lines: Line[] = [];
    for (let line = this.#next(true); ; line = this.#next(true)) {
      if (!line)
        throw new FileRefused('BEGIN_DATA has no END_DATA; the file is cut short, export it again.', begin.place);
      const word = line.tokens[0]!.text.toUpperCase();
      if (word === 'END_DATA') break;
      if (/^(BEGIN_DATA|BEGIN_DATA_FORMAT|END_DATA_FORMAT)$/.test(word) && !line.tokens[0]!.quoted) {
        throw new FileRefused(
          `END_DATA is missing before ${word}; write it after the last row.`,
          line.tokens[0]!.place,
        );
      }
      lines.push(line);
      if (lines.length > MOST_VALUES)
        throw new FileRefused(`There are more than ${MOST_VALUES} rows; export fewer.`, begin.place);
    }
    const rows = this.#rows(lines, columns.length, begin.place);
    this.#counts(header, columns.length, rows.length, begin.place);
    if (rows.length === 0) this.#findings.error(begin.place, 'The table has no row; measure, or remove the table.');
    if (this.#idsTwice(rows, columns)) return;
    readTable({ columns, rows, facts: header.facts }, this.gathering, this.options);
  }

  /** A row stands on one line, or every row is broken over lines in the same way. */
  #rows(lines: readonly Line[], fields: number, begin: FilePlace): Row[] {
    const widths = lines.map(({ raw, tokens, number }) => tabbed(raw, number, fields) ?? tokens);
    const pattern = brokenAlike(
      widths.map(({ length }) => length),
      fields,
    );
    if (pattern > 1) {
      this.#findings.info(begin, `Every row of the table is broken over ${pattern} lines; they were joined.`);
      return Array.from({ length: lines.length / pattern }, (_, at) =>
        rowOf(widths.slice(at * pattern, (at + 1) * pattern).flat()),
      );
    }
    return widths.flatMap((tokens) => {
      if (tokens.length === fields) return [rowOf(tokens)];
      const place = tokens[Math.min(fields, tokens.length - 1)]!.place;
      const names = tokens.length > fields ? ' Names with blanks need quotes.' : '';
      this.#findings.error(
        place,
        `The row has ${tokens.length} values for ${fields} fields; give every field one value.${names}`,
      );
      return [];
    });
  }

  #counts(header: Header, fields: number, sets: number, begin: FilePlace): void {
    if (header.fields && header.fields.value !== fields) {
      this.#findings.error(
        header.fields.place,
        `NUMBER_OF_FIELDS says ${header.fields.value}, but ${fields} are listed; correct it.`,
      );
    }
    if (!header.sets)
      this.#findings.info(begin, 'NUMBER_OF_SETS is missing, so it cannot be checked whether the table is whole.');
    else if (header.sets.value > sets) {
      this.#findings.error(
        header.sets.place,
        `NUMBER_OF_SETS says ${header.sets.value}, but there are ${sets} rows; the table may be cut short, export it again.`,
      );
    } else if (header.sets.value < sets) {
      this.#findings.warning(
        header.sets.place,
        `NUMBER_OF_SETS says ${header.sets.value}, but there are ${sets} rows; all were read, correct the number.`,
      );
    }
  }

  /** A SAMPLE_ID is one sample: rows may share it only where a field tells them apart. */
  #idsTwice(rows: readonly Row[], columns: readonly Column[]): boolean {
    const id = columns.findIndex(({ field }) => field.is === 'id');
    if (id < 0 || columns.some(({ field }) => field.is === 'wavelength')) return false;
    const apart = columns.flatMap(({ field }, at) =>
      ['id', 'take', 'geometry', 'illuminant', 'observer'].includes(field.is) ? [at] : [],
    );
    const seen = new Set<string>();
    let twice = false;
    for (const row of rows) {
      const key = apart.map((at) => row.cells[at]).join('\n');
      if (seen.has(key)) {
        this.#findings.error(
          row.place(id),
          `SAMPLE_ID ${quote(row.cells[id]!)} comes twice in this table; give repeated takes a field TAKE, or other ids.`,
        );
        twice = true;
      }
      seen.add(key);
    }
    return twice;
  }

  // ---- header

  #keyword(first: Token, rest: readonly Token[], header: Header): void {
    const word = first.text.toUpperCase();
    const value = rest
      .map(({ text }) => text)
      .join(' ')
      .trim();
    if (/^[^A-Z_]/.test(word)) {
      throw new FileRefused(
        `${quote(first.text)} stands where a keyword is expected; put rows between BEGIN_DATA and END_DATA.`,
        first.place,
      );
    }
    if (word === 'KEYWORD') this.#declared.add(value.toUpperCase());
    else if (word === 'NUMBER_OF_FIELDS' || word === 'NUMBER_OF_SETS') this.#count(word, rest[0] ?? first, header);
    else this.#fact(word, value, rest[0]?.place ?? first.place, header);
  }

  #count(word: string, token: Token, header: Header): void {
    if (!/^\d{1,9}$/.test(token.text)) {
      this.#findings.error(token.place, `${word} needs a whole number, not ${quote(token.text)}; write the count.`);
      return;
    }
    const value = Number(token.text);
    if (value > 1_000_000)
      throw new FileRefused(`${word} says ${value}, which is no export of an instrument; correct it.`, token.place);
    header[word === 'NUMBER_OF_SETS' ? 'sets' : 'fields'] = { value, place: token.place };
  }

  #fact(word: string, value: string, place: FilePlace, { facts }: Header): void {
    switch (word) {
      case 'GEOMETRY':
      case 'MEASUREMENT_GEOMETRY':
        facts.geometry = this.#meant(geometryOf(value), value, place, 'geometry', '45as15, 45/0 or d/8');
        facts.specular = specularOf(value);
        break;
      case 'ILLUMINANT':
        facts.illuminant = this.#meant(illuminantOf(value), value, place, 'illuminant', 'D65');
        break;
      case 'OBSERVER':
        facts.observer = this.#meant(observerOf(value), value, place, 'observer', '10 degree');
        break;
      case 'WEIGHTING_FUNCTION': {
        const [kind, name = ''] = value.split(/\s*,\s*/);
        if (/^(ILLUMINANT|OBSERVER)$/i.test(kind!)) this.#fact(kind!.toUpperCase(), name, place, { facts });
        break;
      }
      case 'CREATED':
        facts.taken = value === '' ? undefined : this.#meant(dateOf(value), value, place, 'date', '2026-10-14T09:20');
        break;
      case 'INSTRUMENT':
      case 'INSTRUMENTATION':
        facts.instrument = value === '' ? undefined : value;
        break;
      case 'SPECTRAL_NORM':
        facts.scale = Number(value) === 100 ? 'per cent' : Number(value) === 1 ? 'fraction' : undefined;
        break;
      default:
        if (!STANDARD.has(word) && !this.#declared.has(word)) {
          this.#findings.info(
            place,
            `${quote(word)} is neither a keyword of the standard nor declared by KEYWORD; it was left out.`,
          );
        }
    }
  }

  #meant<T>(meaning: T | undefined, value: string, place: FilePlace, what: string, example: string): T | undefined {
    if (meaning === undefined)
      this.#findings.warning(place, `${quote(value)} is no ${what} that is read; write it like ${example}.`);
    return meaning;
  }

  // ---- lines

  /** The next line that holds anything; `data` lets rows be, whatever their first word. */
  #next(data = false): Line | undefined {
    if (!this.#skipBlank()) return undefined;
    const line = this.#peek(data)!;
    this.#at++;
    return line;
  }

  #skipBlank(): boolean {
    while (this.#at < this.lines.length && /^\s*(#|$)/.test(this.lines[this.#at]!)) this.#at++;
    return this.#at < this.lines.length;
  }

  #peek(data = false): Line | undefined {
    const raw = this.lines[this.#at];
    if (raw === undefined) return undefined;
    const number = this.#at + 1;
    return { number, raw, tokens: tokensOf(raw, number, data) };
  }

  #end(): FilePlace {
    const last = this.lines.length;
    return { line: last, column: this.lines[last - 1]!.length + 1 };
  }
}

const STRUCTURE = new Set(['BEGIN_DATA_FORMAT', 'END_DATA_FORMAT', 'BEGIN_DATA', 'END_DATA']);

/** Header words of the standard that say nothing that a reading takes (from memory of CGATS.17). */
const STANDARD = new Set([
  'ORIGINATOR',
  'DESCRIPTOR',
  'FILE_DESCRIPTOR',
  'DIAGNOSTICS',
  'MANUFACTURER',
  'MANUFACTURE',
  'PROD_DATE',
  'SERIAL',
  'MATERIAL',
  'MEASUREMENT_SOURCE',
  'FILTER',
  'POLARIZATION',
  'PRINT_CONDITIONS',
  'COMPUTATIONAL_PARAMETER',
  'SAMPLE_BACKING',
  'TARGET_TYPE',
  'COLORANT',
  'TABLE_NAME',
  'TABLE_DESCRIPTOR',
  'PROCESSCOLOR_ID',
  'SPECTRAL_BANDS',
  'SPECTRAL_START_NM',
  'SPECTRAL_END_NM',
]);

/** Standard fields that a reading has no use for and that need no remark. */
const COMPANY =
  /^(SAMPLE_LOC|STRING|CMYK_[CMYK]|RGB_[RGB]|D_(RED|GREEN|BLUE|VIS|MAJOR_FILTER)|XYY_(X|Y|CAPY)|DE_\w+|LAB_DE(_\w+)?|STDEV_\w+|MEAN_DE|CHI_SQD_PAR)$/i;

/** A text in quotes, in which a doubled quote is one; a quote that stays open; or a run of non-blanks. */
const TOKEN = /"(?:[^"]|"")*"|"|[^\s"]\S*/g;

/** Blanks and tabs separate. `#` opens a comment, but not inside a row. */
function tokensOf(raw: string, number: number, data: boolean): Token[] {
  const tokens: Token[] = [];
  for (const { 0: text, index } of raw.matchAll(TOKEN)) {
    const place = { line: number, column: index + 1 };
    if (text.startsWith('#') && !data) break;
    if (text === '"') {
      throw new FileRefused("The quote that opens here is not closed on its line; write the closing '\"'.", place);
    }
    tokens.push(tokenOf(text, place));
  }
  return tokens;
}

const tokenOf = (text: string, place: FilePlace): Token =>
  text.startsWith('"') && text.endsWith('"') && text.length > 1
    ? { text: text.slice(1, -1).replaceAll('""', '"'), quoted: true, place }
    : { text, quoted: false, place };

/** The cells of a row that tabs alone separate: then names may hold blanks without quotes, and a cell may be empty. */
function tabbed(raw: string, number: number, fields: number): Token[] | undefined {
  if (!raw.includes('\t')) return undefined;
  const cells = raw.split('\t');
  while (cells.length > fields && cells.at(-1)!.trim() === '') cells.pop();
  if (cells.length !== fields) return undefined;
  let start = 0;
  return cells.map((cell) => {
    const lead = cell.length - cell.trimStart().length;
    const token = tokenOf(cell.trim(), { line: number, column: start + lead + 1 });
    start += cell.length + 1;
    return token;
  });
}

/** Over how many lines every row is broken, in one and the same way; 1 where each line is a row or no such way exists. */
function brokenAlike(widths: readonly number[], fields: number): number {
  let sum = 0;
  let lines = 0;
  while (lines < widths.length && sum < fields) sum += widths[lines++]!;
  const alike =
    sum === fields &&
    widths.length % Math.max(lines, 1) === 0 &&
    widths.every((width, at) => width === widths[at % lines]);
  return alike && lines > 1 ? lines : 1;
}

function rowOf(tokens: readonly Token[]): Row {
  return { cells: tokens.map(({ text }) => text), place: (at) => tokens[at]!.place };
}
