/**
 * The formatter. It moves atoms by changing only the blanks between them, so that nothing can be lost; an entry with an error or an
 * open conflict is left as it is, and the others are formatted all the same.
 *
 * The look: lines of the body are indented by two, what follows the word (with its key: `toner GRN-2`) begins in column 15, and
 * consecutive lines of one word stand in columns, numbers under each other by their decimal point. Lists of numbers keep their lines.
 */
import { cut, type Slice } from './cutter.ts';
import type { Edit } from './finding.ts';
import { parseEntry } from './parse.ts';
import { isOdd } from './scanner.ts';
import type { Entry, Line, Span, Value } from './tree.ts';
import { lineOf, number } from './tree.ts';
import { headRows, type Row } from './words.ts';

const INDENT = 2;
const LIST_INDENT = 4;
/** Where the first place after a word stands, counted from 0. */
const VALUE_COLUMN = 15;
/** The language that this formatter knows; a book in a later one is left alone. */
const LANGUAGE = 1;

/** The edits that format a whole text, in order. */
export function formatText(text: string): Edit[] {
  const { slices } = cut(text);
  const edits: Edit[] = [];
  let start = 0;
  for (const slice of slices) {
    for (const edit of formatEntry(slice))
      edits.push({ from: edit.from + start, to: edit.to + start, text: edit.text });
    start += slice.text.length;
  }
  return edits;
}

/** The edits that format one entry, offsets in its text, in order and without overlap. */
export function formatEntry(slice: Slice, entry: Entry = parseEntry(slice)): Edit[] {
  if (slice.side !== 'none' || entry.conflicts.length > 0 || isOfLaterLanguage(entry)) return [];
  if (entry.findings.some((finding) => finding.severity === 'error')) return [];
  const { text } = slice;
  const laid = entry.lines.filter((line) => !hasOddBlanks(text, line)).map((line) => lay(text, line));
  for (const run of runs(text, laid)) align(run, 0, startColumn(run));
  if (entry.head && !hasOddBlanks(text, entry.head)) laid.unshift(layHead(text, entry.head));
  return [...laid.flatMap(gapsOf), ...commentGaps(text, entry, laid), ...trailing(text)]
    .filter((gap) => isBlankGap(text, gap) && differs(text, gap))
    .sort((a, b) => a.from - b.from)
    .map(edit);
}

const isOfLaterLanguage = (entry: Entry): boolean =>
  entry.kind === 'book' && (number(lineOf(entry, 'language'), 'version') ?? LANGUAGE) > LANGUAGE;

/** Applies edits that are in order and do not overlap. */
export function applied(text: string, edits: readonly Edit[]): string {
  let at = 0;
  let out = '';
  for (const one of edits) {
    out += text.slice(at, one.from) + one.text;
    at = one.to;
  }
  return out + text.slice(at);
}

/** The example of a row as it is set in an entry, without its indent. */
export function formattedExample(row: Row): string {
  if (row.head) return row.example;
  const head = `${headRows.get(row.in[0]!)!.example}\n`;
  const text = `${head}  ${row.example}`;
  return applied(text, formatText(text)).slice(head.length + INDENT);
}

/** A stretch of blanks between two atoms, or at the start or end of a line, and how many blanks it should have. */
interface Gap extends Span {
  readonly blanks: number;
}

/** Between a range and its list there may be a comment and a line end; those stay. */
const isBlankGap = (text: string, gap: Gap): boolean => /^[ \t]*$/.test(text.slice(gap.from, gap.to));

const edit = (gap: Gap): Edit => ({ from: gap.from, to: gap.to, text: ' '.repeat(gap.blanks) });

const differs = (text: string, gap: Gap): boolean => {
  if (gap.to - gap.from !== gap.blanks) return true;
  for (let at = gap.from; at < gap.to; at++) if (text[at] !== ' ') return true;
  return false;
};

interface Cell extends Span {
  /** Cells of one kind stand under each other. */
  readonly kind: string;
  readonly width: number;
  /** The width up to the decimal point, for numbers. */
  readonly whole?: number;
  column: number;
}

interface LaidLine {
  readonly line: Line;
  readonly indent: number;
  /** The word, with its key where that belongs to it. */
  readonly label: readonly Cell[];
  readonly labelEnd: number;
  readonly cells: readonly Cell[];
}

/** A line with unusual blanks has a finding of its own; its columns cannot be known, so it stays as it is. */
function hasOddBlanks(text: string, line: Line): boolean {
  for (let at = line.from; at < line.to; at++) {
    const code = text.charCodeAt(at);
    if (isOdd(code) && !(code === RETURN && text[at + 1] === '\n') && at > 0) return true;
  }
  return false;
}

const RETURN = 0x0d;

function layHead(text: string, line: Line): LaidLine {
  const cells = cellsOf(text, line);
  const end = inARow(cells, 0);
  return { line, indent: 0, label: cells, labelEnd: end, cells: [] };
}

function lay(text: string, line: Line): LaidLine {
  const cells = cellsOf(text, line);
  const label = cells.splice(0, labelLength(line));
  return { line, indent: INDENT, label, labelEnd: inARow(label, INDENT), cells };
}

/** Sets cells with single blanks and returns the column behind the last. */
function inARow(cells: readonly Cell[], start: number): number {
  let column = start;
  for (const cell of cells) {
    cell.column = column;
    column += cell.width + 1;
  }
  return column - 1;
}

/** Words that read as one term with the atom after them: `target weight`, `coat ground`. */
const JOINED: ReadonlySet<string> = new Set(['target', 'coat']);

/** A key that other places follow belongs to its word: `toner GRN-2`, `lab 45as15`. */
function labelLength(line: Line): number {
  if (JOINED.has(line.word)) return 2;
  return line.row !== undefined && keyFollows(line.row, line) ? 2 : 1;
}

const KEYS: ReadonlySet<string> = new Set(['ref', 'geometry', 'grey', 'choice']);

function keyFollows(row: Row, line: Line): boolean {
  const first = row.places[0];
  const value = line.values[0];
  if (value === undefined || line.values.length + line.words.length < 2) return false;
  if (line.words[0] && line.words[0].from < value.from) return false;
  const isKey =
    row.key.includes(value.place) || (row.repeat === 'free' && first?.is === 'value' && first.type === 'ref');
  return isKey && KEYS.has(value.type) && !value.text.startsWith('L*');
}

function cellsOf(text: string, line: Line): Cell[] {
  const cells: Cell[] = [cell(text, line.wordSpan, line.word)];
  for (const word of line.words) cells.push(cell(text, word, word.text));
  for (const value of line.values) cells.push(...valueCells(text, value));
  return cells.sort((a, b) => a.from - b.from);
}

function valueCells(text: string, value: Value): Cell[] {
  if (value.type === 'numbers' || text[value.from] === '"') return [cell(text, value, value.type)];
  const cells: Cell[] = [];
  const atoms = /[^ \t]+/g;
  const written = text.slice(value.from, value.to);
  for (const atom of written.matchAll(atoms)) {
    const from = value.from + atom.index;
    cells.push(cell(text, { from, to: from + atom[0].length }, 'value'));
  }
  return cells;
}

const NUMBER = /^([+-]?\d+)(\.\d+)?$/;

function cell(text: string, span: Span, kind: string): Cell {
  const written = text.slice(span.from, span.to);
  const whole = kind === 'value' ? NUMBER.exec(written)?.[1] : undefined;
  return {
    from: span.from,
    to: span.to,
    kind: whole === undefined ? kind : 'number',
    width: widthOf(written),
    ...(whole === undefined ? {} : { whole: whole.length }),
    column: 0,
  };
}

const WIDE =
  /[\u1100-\u115f\u2e80-\ua4cf\uac00-\ud7a3\uf900-\ufaff\ufe30-\ufe6f\uff00-\uff60\uffe0-\uffe6\u{1f300}-\u{1faff}\u{20000}-\u{3fffd}]/u;
const ZERO = /[\p{M}\u200d]/u;

/** Columns on the screen: East Asian characters and emoji take two, combining marks none. */
export function widthOf(text: string): number {
  if (/^[\x20-\x7e]*$/.test(text)) return text.length;
  let width = 0;
  for (const char of text) width += ZERO.test(char) ? 0 : WIDE.test(char) ? 2 : 1;
  return width;
}

/** Consecutive lines of one word, with no empty line between, share their columns. */
function runs(text: string, lines: readonly LaidLine[]): LaidLine[][] {
  const found: LaidLine[][] = [];
  let last: LaidLine | undefined;
  for (const next of lines) {
    const joins =
      last && last.line.word === next.line.word && !EMPTY_LINE.test(text.slice(last.line.to, next.line.from));
    if (joins) found.at(-1)!.push(next);
    else found.push([next]);
    last = next;
  }
  return found;
}

const EMPTY_LINE = /\n[ \t]*\r?\n/;

const startColumn = (run: readonly LaidLine[]): number =>
  Math.max(
    VALUE_COLUMN,
    largest(run, (line) => line.labelEnd + 1),
  );

function largest<T>(all: readonly T[], size: (one: T) => number): number {
  let most = 0;
  for (const one of all) most = Math.max(most, size(one));
  return most;
}

/** Further columns than these no table has; a long row of angles is simply a row. */
const MOST_COLUMNS = 32;

/** Sets the cells from number `at` on, all lines beginning in one column; lines part where their kinds of cell do. */
function align(lines: readonly LaidLine[], at: number, column: number): void {
  if (lines.length === 1 || at === MOST_COLUMNS) {
    for (const line of lines) inARow(line.cells.slice(at), column);
    return;
  }
  for (let from = 0; from < lines.length; ) {
    const kind = lines[from]!.cells[at]?.kind;
    let to = from + 1;
    while (to < lines.length && lines[to]!.cells[at]?.kind === kind) to++;
    if (kind !== undefined) {
      const group = lines.slice(from, to);
      const width = setColumn(
        group.map((line) => line.cells[at]!),
        column,
      );
      align(group, at + 1, column + width + 1);
    }
    from = to;
  }
}

/** Sets cells under each other and returns the width they take together. */
function setColumn(cells: readonly Cell[], column: number): number {
  const whole = largest(cells, (one) => one.whole ?? 0);
  let width = 0;
  for (const one of cells) {
    const shift = one.whole === undefined ? 0 : whole - one.whole;
    one.column = column + shift;
    width = Math.max(width, shift + one.width);
  }
  return width;
}

function gapsOf({ line, label, cells }: LaidLine): Gap[] {
  const gaps: Gap[] = [];
  let end = line.from;
  let column = 0;
  const all = [...label, ...cells];
  for (const one of all) {
    gaps.push({ from: end, to: one.from, blanks: one.column - column });
    end = one.to;
    column = one.column + one.width;
  }
  return gaps;
}

/** The column behind the last atom. */
const endColumn = ({ label, cells }: LaidLine): number => {
  const last = cells.at(-1) ?? label.at(-1)!;
  return last.column + last.width;
};

interface Note {
  /** The blanks before the comment. */
  readonly gap: Span;
  readonly column: number;
  /** The first column where it may stand. */
  readonly free: number;
}

/**
 * A comment behind a line keeps its column when the line leaves room, otherwise it moves, and those that stood under each other move
 * together. A comment line stands at the indent, or far to the right under the comments of its neighbours.
 */
function commentGaps(text: string, entry: Entry, laid: readonly LaidLine[]): Gap[] {
  const gaps: Gap[] = [];
  const notes: Note[] = [];
  for (const span of entry.comments) {
    const from = text.indexOf('#', span.from);
    const indent = from - span.from;
    if (indent > 0 && indent < VALUE_COLUMN) gaps.push({ from: span.from, to: from, blanks: INDENT });
    else if (indent > 0) notes.push({ gap: { from: span.from, to: from }, column: indent, free: 0 });
  }
  for (const gap of listInsides(text, laid)) gaps.push(gap);
  for (const one of laid) {
    const { comment, from } = one.line;
    if (!comment) continue;
    const last = one.cells.at(-1) ?? one.label.at(-1)!;
    if (text.slice(from, last.to).includes('\n')) continue;
    const column = widthOf(text.slice(from, comment.from));
    notes.push({ gap: { from: last.to, to: comment.from }, column, free: endColumn(one) });
  }
  notes.sort((a, b) => a.gap.from - b.gap.from);
  for (let from = 0; from < notes.length; ) {
    let to = from + 1;
    while (to < notes.length && notes[to]!.column === notes[from]!.column) to++;
    const group = notes.slice(from, to);
    const column = largest(group, (note) => (note.column > note.free ? note.column : note.free + 2));
    for (const note of group) gaps.push({ ...note.gap, blanks: column - note.free });
    from = to;
  }
  return gaps;
}

/** The lines on which a list of numbers goes on. */
function listInsides(text: string, laid: readonly LaidLine[]): Gap[] {
  const gaps: Gap[] = [];
  for (const { line } of laid) {
    for (const value of line.values) {
      if (value.type !== 'numbers') continue;
      for (const found of text.slice(line.from, value.to).matchAll(/\n([ \t]*)/g)) {
        const from = line.from + found.index + 1;
        gaps.push({ from, to: from + found[1]!.length, blanks: LIST_INDENT });
      }
    }
  }
  return gaps;
}

/** Blanks at the ends of lines. */
function trailing(text: string): Gap[] {
  const gaps: Gap[] = [];
  for (let at = 0; at < text.length; ) {
    const newline = text.indexOf('\n', at);
    const end = newline < 0 ? text.length : newline;
    const to = end > at && text[end - 1] === '\r' ? end - 1 : end;
    let from = to;
    while (from > at && (text[from - 1] === ' ' || text[from - 1] === '\t')) from--;
    if (from < to) gaps.push({ from, to, blanks: 0 });
    at = end + 1;
  }
  return gaps;
}
