/** Reads one entry: its lines by their rows of the table, with findings that never leave the entry. Never throws. */
import { conflictsIn } from './conflict.ts';
import { isMarkerChar, type Side, type Slice, sideAfter, startsEntry } from './cutter.ts';
import type { Edit, Finding } from './finding.ts';
import { nearest } from './nearest.ts';
import { type ParsedLine, parseLine } from './parser.ts';
import { flatten } from './place.ts';
import type { ReadLines } from './read-lines.ts';
import { article } from './sample.ts';
import { isOdd, type ScannedLine, scanLine } from './scanner.ts';
import { type Entry, type Line, type Span, type Value, value } from './tree.ts';
import { bodyWords, type EntryKind, headRows, type Row, rows, rowsIn } from './words.ts';

interface Parts {
  kind: EntryKind | undefined;
  head: Line | undefined;
  lines: Line[];
  comments: Span[];
  conflicts: Span[];
  findings: Finding[];
  /** The first line that cannot begin a line of a book: a broken head, perhaps, so that what follows may not belong here. */
  astray: Line | undefined;
  readonly known: ReadLines | undefined;
}

/** @param known what was read of other entries, and is added to. */
export function parseEntry(slice: Slice, known?: ReadLines): Entry {
  const entry: Parts = {
    kind: undefined,
    head: undefined,
    lines: [],
    comments: [],
    conflicts: [],
    findings: [],
    astray: undefined,
    known,
  };
  const { text } = slice;
  let side: Side = slice.side;
  let at = 0;
  while (at < text.length) {
    const end = endOfLine(text, at);
    const next = isMarkerChar(text.charCodeAt(at)) ? sideAfter(text.slice(at, Math.min(end, at + 8)), side) : undefined;
    if (next !== undefined || side === 'base' || side === 'theirs') {
      entry.conflicts.push({ from: at, to: contentEnd(text, at, end) });
      side = next ?? side;
      at = end;
    } else at = readLine(entry, text, at, end);
  }
  if (entry.conflicts.length > 0) conflictFinding(entry, text);
  repeated(entry, text);
  const { kind, head, lines, comments, conflicts, findings } = entry;
  return { kind, head, lines, comments, conflicts, findings };
}

function endOfLine(text: string, at: number): number {
  const newline = text.indexOf('\n', at);
  return newline < 0 ? text.length : newline + 1;
}

/** Offset behind the last character of the line at `at` that is not its line end. */
function contentEnd(text: string, at: number, end: number): number {
  if (end === at || text.charCodeAt(end - 1) !== 0x0a) return end;
  return end - 1 > at && text.charCodeAt(end - 2) === 0x0d ? end - 2 : end - 1;
}

/** Reads the line (with the continuations of its list) and returns where the next one begins. */
function readLine(entry: Parts, text: string, at: number, lineEnd: number): number {
  const to = contentEnd(text, at, lineEnd);
  // The BOM of a file stands before its first character and is no part of the first line.
  const start = at === 0 && text.charCodeAt(0) === 0xfeff ? 1 : at;
  const first = start < to ? text.charCodeAt(start) : NaN;
  const indented = isBlank(first) || isOdd(first);
  const content = indented ? skipBlank(text, start, to) : start;
  if (content >= to) return lineEnd;
  if (text.charCodeAt(content) === HASH) {
    entry.comments.push({ from: start, to });
    return lineEnd;
  }
  if (indented) return readBody(entry, text, at, to, lineEnd, true);
  if (!isLetter(text, start)) return stray(entry, text, start, to, lineEnd);
  const isFirst = entry.lines.length === 0 || startsEntry(text.slice(start, lineEnd));
  if (entry.head === undefined && isFirst) return readHead(entry, text, at, to, lineEnd);
  return readBody(entry, text, at, to, lineEnd, false);
}

const HASH = 0x23;
const isBlank = (code: number): boolean => code === 0x20 || code === 0x09;

function skipBlank(text: string, from: number, to: number): number {
  let at = from;
  while (at < to && isBlank(text.charCodeAt(at))) at++;
  return at;
}

function isLetter(text: string, at: number): boolean {
  const code = text.charCodeAt(at) | 0x20;
  return (code >= 0x61 && code <= 0x7a) || /^\p{L}/u.test(text.slice(at, at + 2));
}

function readHead(entry: Parts, text: string, at: number, to: number, lineEnd: number): number {
  const written = entry.known && text.slice(at, to);
  const same = written === undefined ? undefined : entry.known!.find('head', written, at);
  if (same) {
    entry.head = same;
    entry.kind = same.row!.in[0]!;
    return lineEnd;
  }
  const before = entry.findings.length;
  const scanned = scanLine(text, at, to, false, entry.findings);
  const row = headRows.get(scanned.word);
  const line = finish(entry, row, scanned, at, to);
  entry.head = line;
  if (row) entry.kind = row.in[0]!;
  else entry.findings.push(unknownHead(line));
  if (written !== undefined && entry.findings.length === before) entry.known!.keep('head', written, line);
  return lineEnd;
}

function readBody(entry: Parts, text: string, at: number, to: number, lineEnd: number, indented: boolean): number {
  const { kind } = entry;
  const written = entry.known && kind && indented ? text.slice(at, to) : undefined;
  const same = written === undefined ? undefined : entry.known!.find(kind!, written, at);
  if (same) {
    entry.lines.push(same);
    return lineEnd;
  }
  const row = kind && rowsIn(kind).get(wordAt(text, at, to));
  const list = row !== undefined && isList(row);
  let end = to;
  let next = lineEnd;
  while (list && next < text.length && goesOn(text, next)) {
    const following = endOfLine(text, next);
    end = contentEnd(text, next, following);
    next = following;
  }
  const before = entry.findings.length;
  const scanned = scanLine(text, at, end, list, entry.findings);
  for (const comment of scanned.inner) entry.comments.push(comment);
  const line = finish(entry, row, scanned, at, end);
  entry.lines.push(line);
  if (written !== undefined && row && !list && entry.findings.length === before)
    entry.known!.keep(kind!, written, line);
  if (entry.head === undefined) {
    entry.findings.length = before;
    if (entry.lines.length === 1) entry.findings.push(headless(line));
  } else if (!indented) {
    entry.findings.length = before;
    entry.findings.push(lostIndent(line, at));
  } else if (!row && kind) {
    entry.findings.length = before;
    if (!entry.astray && !followsFault(entry, line)) entry.findings.push(misplaced(kind, line, text));
  }
  return next;
}

/** Lines that do not belong here come in blocks: a head or the word of a list was lost above them, and has its finding. */
function followsFault(entry: Parts, line: Line): boolean {
  const above = entry.lines.at(-2);
  return above !== undefined && above.row === undefined && (bodyWords.has(line.word) || NUMBER.test(line.word));
}

const NUMBER = /^[+\-\u2212.,]?\d/;

function wordAt(text: string, from: number, to: number): string {
  let start = from;
  while (start < to && (isBlank(text.charCodeAt(start)) || isOdd(text.charCodeAt(start)))) start++;
  let at = start;
  while (at < to) {
    const code = text.charCodeAt(at);
    if (isBlank(code) || code === QUOTE || isOdd(code)) break;
    at++;
  }
  return text.slice(start, at);
}

const QUOTE = 0x22;

/** A line that begins with a number goes on with the list above it. */
function goesOn(text: string, from: number): boolean {
  const start = skipBlank(text, from, text.length);
  if (start === from) return false;
  NUMBER_FIRST.lastIndex = start;
  return NUMBER_FIRST.test(text);
}

const NUMBER_FIRST = /[+\-\u2212]?[.,]?\d[\d.,]{0,30}(?=[ \t\r\n]|$)/y;

const lists = new Set(
  rows.filter((row) => [...flatten(row.places)].some((place) => place.is === 'value' && place.type === 'numbers')),
);
const isList = (row: Row): boolean => lists.has(row);

function finish(entry: Parts, row: Row | undefined, scanned: ScannedLine, from: number, to: number): Line {
  const { word, wordFrom, tokens, comment } = scanned;
  const wordSpan = { from: wordFrom, to: wordFrom + word.length };
  const last = tokens.at(-1);
  const parsed = row
    ? parseLine(row, tokens, wordFrom, last ? last.endOffset! + 1 : wordSpan.to, entry.findings)
    : UNREAD;
  if (row && parsed.whole && isList(row)) checkList(entry, parsed.values);
  const { values, words, whole } = parsed;
  const line: Writable<Line> = { word, wordSpan, values, words, whole, from, to };
  if (row) line.row = row;
  if (comment >= 0) line.comment = { from: comment, to };
  return line;
}

type Writable<T> = { -readonly [Key in keyof T]: T[Key] };

const UNREAD: ParsedLine = { values: [], words: [], whole: false };

/** The count of a list has to be that of its range. */
function checkList(entry: Parts, values: readonly Value[]): void {
  const list = values.find((value) => value.type === 'numbers');
  const grid = values.find((value) => value.type === 'range');
  if (!list?.numbers || !grid) return;
  const [, from, to, step] = /^([\d.]+?)\.\.([\d.]+)\/([\d.]+)$/.exec(grid.text) ?? [];
  if (step === undefined) {
    entry.findings.push(
      at(
        'range-step',
        grid,
        `The range ${grid.text} does not say its step.`,
        'Write first..last/step in nanometres: 400..700/10.',
      ),
    );
    return;
  }
  if (Number(to) < Number(from) || Number(step) <= 0) return;
  const wanted = Math.round((Number(to) - Number(from)) / Number(step)) + 1;
  if (list.numbers.length === wanted) return;
  entry.findings.push(
    at(
      'list-count',
      list,
      `The range ${grid.text} holds ${wanted} values; here stand ${list.numbers.length}.`,
      list.numbers.length < wanted
        ? 'Add the missing values, or correct the range.'
        : 'Take the surplus values out, or correct the range.',
    ),
  );
}

const at = (code: string, span: Span, problem: string, remedy: string): Finding => ({
  code,
  severity: 'error',
  from: span.from,
  to: span.to,
  problem,
  remedy,
});

function stray(entry: Parts, text: string, from: number, to: number, lineEnd: number): number {
  const content = text.slice(from, to);
  const word = wordAt(text, from, to);
  const line: Line = { word, wordSpan: { from, to: from + word.length }, ...UNREAD, from, to };
  entry.lines.push(line);
  entry.astray ??= line;
  entry.findings.push({
    ...at(
      'line-start',
      { from, to },
      `A line cannot begin with '${String.fromCodePoint(content.codePointAt(0)!)}'.`,
      'A line begins with its word: at the margin for a new entry, indented by two blanks inside one.',
    ),
    fixes: [{ title: 'Make it a comment', edits: [{ from, to: from, text: '# ' }] }],
  });
  return lineEnd;
}

function unknownWord(line: Line, guess: string | undefined, problem: string, remedy: string): Finding {
  const span = line.wordSpan;
  return {
    ...at('word-unknown', span, problem, guess ? `Did you mean '${guess}'? ${remedy}` : remedy),
    ...(guess ? { fixes: [{ title: `Write ${guess}`, edits: [{ ...span, text: guess }] }] } : {}),
  };
}

function unknownHead(line: Line): Finding {
  const heads = [...headRows.keys()];
  return unknownWord(
    line,
    nearest(line.word.slice(0, MOST_OF_A_WORD), heads),
    `No entry begins with '${shown(line.word)}'.`,
    `Entries begin with: ${heads.join(', ')}.`,
  );
}

const MOST_OF_A_WORD = 40;
const shown = (word: string): string => (word.length > MOST_OF_A_WORD ? `${word.slice(0, MOST_OF_A_WORD)}…` : word);

function misplaced(kind: EntryKind, line: Line, text: string): Finding {
  const known = [...rowsIn(kind).keys()];
  const { word, wordSpan } = line;
  const problem = `'${shown(word)}' is no word of ${article(kind)}.`;
  if (word === '' || NUMBER.test(word)) {
    return at(
      'word-missing',
      word === '' ? { from: skipBlank(text, line.from, line.to), to: line.to } : wordSpan,
      `The line begins with '${shown(word || text.slice(wordSpan.from, line.to).trim())}', not with a word.`,
      'Write first what the line says; only a list of numbers goes on over several lines.',
    );
  }
  if (headRows.has(word)) {
    return {
      ...at('word-unknown', wordSpan, problem, `An entry begins at the margin: take the blanks before '${word}' out.`),
      fixes: [{ title: 'Begin an entry', edits: [{ from: line.from, to: wordSpan.from, text: '' }] }],
    };
  }
  const guess = nearest(word.slice(0, MOST_OF_A_WORD), known);
  const elsewhere = rows.filter((row) => !row.head && row.word === word).flatMap((row) => row.in);
  const others = elsewhere.length > 0 ? `It stands in: ${[...new Set(elsewhere)].join(', ')}. ` : '';
  return unknownWord(
    line,
    bodyWords.has(word) ? undefined : guess,
    problem,
    `${others}${article(kind).replace('a', 'A')} has: ${known.join(', ')}.`,
  );
}

const lostIndent = (line: Line, from: number): Finding => ({
  ...at(
    'indent-lost',
    line.wordSpan,
    `'${line.word}' stands at the margin, where only a new entry begins.`,
    'Indent the line by two blanks, so that it belongs to the entry above.',
  ),
  fixes: [{ title: 'Indent by two blanks', edits: [{ from, to: from, text: '  ' }], sure: true }],
});

const headless = (line: Line): Finding =>
  at(
    'head-missing',
    line,
    'These lines belong to no entry.',
    'Begin an entry above them, for example: formula SAM-31 "Samphire Green"',
  );

/** A word that may stand once, and keyed lines with one key, stand once. The first one counts. */
function repeated(entry: Parts, text: string): void {
  const once = new Map<Row, Line>();
  const keyed = new Map<string, Line>();
  let coat = '';
  for (const line of entry.lines) {
    const { row } = line;
    if (line === entry.astray) return;
    if (!row || row.repeat === 'free' || !line.whole) continue;
    if (line.word === 'coat') coat = line.values[0]?.text ?? '';
    const key = row.repeat === 'keyed' ? keyOf(row, line, coat) : '';
    const first = key === '' ? once.get(row) : keyed.get(key);
    if (!first) {
      if (key === '') once.set(row, line);
      else keyed.set(key, line);
      continue;
    }
    const what = row.key
      .map((place) => line.values.find((value) => value.place === place)?.text)
      .filter((text) => text !== undefined)
      .join(' ');
    entry.findings.push({
      ...at(
        'line-twice',
        line.wordSpan,
        `'${row.word}${what ? ` ${what}` : ''}' stands twice in this entry; the first one counts.`,
        row.word === 'toner'
          ? 'Add the parts up in one line, or take one of the lines out.'
          : 'Take one of the lines out.',
      ),
      related: [{ from: first.from, to: first.to, text: 'the first one' }],
      fixes: [{ title: 'Take this line out', edits: [{ from: line.from, to: endOfLine(text, line.to), text: '' }] }],
    });
  }
}

/** What may stand once: the word with its key and, for a toner, the coat it lies in. */
function keyOf(row: Row, line: Line, coat: string): string {
  let key = row.word;
  if (row.word === 'toner') key += `\u0000${coat}`;
  for (const place of row.key) key += `\u0000${value(line, place)?.text ?? ''}`;
  return key;
}

/** One finding for a conflict, in the entry where it begins; the fixes need the whole of it in this entry (see conflict.ts). */
function conflictFinding(entry: Parts, text: string): void {
  const first = entry.conflicts.find((span) => text.startsWith('<<<<<<<', span.from));
  if (!first) return;
  const [conflict] = conflictsIn(text.slice(first.from));
  const moved = (edits: readonly Edit[]): Edit[] =>
    edits.map((edit) => ({ from: edit.from + first.from, to: edit.to + first.from, text: edit.text }));
  entry.findings.push({
    ...at(
      'conflict',
      first,
      'A merge conflict is open here; the lines are read on our side of it.',
      'Take our side or theirs, or write the lines by hand and remove the markers.',
    ),
    ...(conflict
      ? {
          fixes: [
            { title: 'Take our side', edits: moved(conflict.ours) },
            { title: 'Take their side', edits: moved(conflict.theirs) },
          ],
        }
      : {}),
  });
}
