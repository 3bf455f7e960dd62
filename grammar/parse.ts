/** Reads one entry: its lines by their rows of the table, with findings that never leave the entry. Never throws. */
import { type Side, type Slice, sideAfter } from './cutter.ts';
import type { Finding } from './finding.ts';
import { nearest } from './nearest.ts';
import { parseLine } from './parser.ts';
import { flatten } from './place.ts';
import { scanLine } from './tokens.ts';
import type { Entry, Line, Span, Value } from './tree.ts';
import { type EntryKind, headRows, type Row, rowsIn } from './words.ts';

interface Parts {
  kind: EntryKind | undefined;
  head: Line | undefined;
  lines: Line[];
  comments: Span[];
  conflicts: Span[];
  findings: Finding[];
}

export function parseEntry(slice: Slice): Entry {
  const entry: Parts = { kind: undefined, head: undefined, lines: [], comments: [], conflicts: [], findings: [] };
  const { text } = slice;
  let side: Side = slice.side;
  let at = 0;
  while (at < text.length) {
    const end = endOfLine(text, at);
    const next = side !== 'none' || isMarker(text, at) ? sideAfter(text.slice(at, end), side) : undefined;
    if (next !== undefined || side === 'base' || side === 'theirs') {
      entry.conflicts.push({ from: at, to: contentEnd(text, at, end) });
      side = next ?? side;
      at = end;
    } else at = readLine(entry, text, at, end);
  }
  conflictFinding(entry, text);
  repeated(entry);
  return entry;
}

const isMarker = (text: string, at: number): boolean => '<|=>'.includes(text[at]!);

function endOfLine(text: string, at: number): number {
  const newline = text.indexOf('\n', at);
  return newline < 0 ? text.length : newline + 1;
}

/** Offset behind the last character of the line at `at` that is not its line end. */
function contentEnd(text: string, at: number, end: number): number {
  let to = end;
  if (to > at && text[to - 1] === '\n') to--;
  if (to > at && text[to - 1] === '\r') to--;
  return to;
}

/** Reads the line (with the continuations of its list) and returns where the next one begins. */
function readLine(entry: Parts, text: string, at: number, lineEnd: number): number {
  const to = contentEnd(text, at, lineEnd);
  const content = text.slice(at, to);
  const bare = content.trim();
  if (bare === '' || bare.startsWith('#')) {
    if (bare !== '') entry.comments.push({ from: at, to });
    return lineEnd;
  }
  const first = content[0]!;
  const indented = first === ' ' || first === '\t';
  if (!indented && !/^\p{L}/u.test(first) && (entry.head || !/^\ufeff/.test(content)))
    return stray(entry, text, at, to, lineEnd);
  if (!indented && entry.head === undefined) return readHead(entry, text, at, to, lineEnd);
  return readBody(entry, text, at, to, lineEnd, indented);
}

function readHead(entry: Parts, text: string, at: number, to: number, lineEnd: number): number {
  const scanned = scanLine(text, at, to, never, entry.findings);
  const row = headRows.get(scanned.word);
  const line = finish(entry, row, scanned, at, to);
  entry.head = line;
  if (row) entry.kind = row.in[0]!;
  else {
    const guess = nearest(scanned.word, headRows.keys());
    entry.findings.push(
      unknownWord(
        line,
        guess,
        `No entry begins with '${scanned.word}'.`,
        `Entries begin with: ${[...headRows.keys()].join(', ')}.`,
      ),
    );
  }
  return lineEnd;
}

function readBody(entry: Parts, text: string, at: number, to: number, lineEnd: number, indented: boolean): number {
  const known = entry.kind ? rowsIn(entry.kind) : undefined;
  const word = /^[ \t]*([^ \t"]*)/.exec(text.slice(at, to))![1]!;
  const row = known?.get(word);
  let end = to;
  let next = lineEnd;
  if (row && isList(row)) {
    while (next < text.length && CONTINUES.test(text.slice(next, endOfLine(text, next)))) {
      const following = endOfLine(text, next);
      end = contentEnd(text, next, following);
      next = following;
    }
  }
  const before = entry.findings.length;
  const scanned = scanLine(text, at, end, row && isList(row) ? always : never, entry.findings);
  const line = finish(entry, row, scanned, at, end);
  entry.lines.push(line);
  if (!indented) {
    entry.findings.length = before;
    entry.findings.push(lostIndent(line, at));
  } else if (!row && entry.kind) {
    entry.findings.push(misplaced(entry.kind, line));
  } else if (entry.head === undefined) {
    entry.findings.length = before;
    if (entry.lines.length === 1) entry.findings.push(headless(line));
  }
  return next;
}

const CONTINUES = /^[ \t]+[+-]?\d[\d.+\- \t]*(#.*)?\r?\n?$/;
const LISTS = new WeakMap<Row, boolean>();

function isList(row: Row): boolean {
  let list = LISTS.get(row);
  if (list === undefined) {
    list = [...flatten(row.places)].some((place) => place.is === 'value' && place.type === 'numbers');
    LISTS.set(row, list);
  }
  return list;
}

const never = () => false;
const always = () => true;

function finish(
  entry: Parts,
  row: Row | undefined,
  scanned: ReturnType<typeof scanLine>,
  from: number,
  to: number,
): Line {
  const wordSpan = { from: scanned.wordFrom, to: scanned.wordFrom + scanned.word.length };
  const codeEnd = scanned.comment < 0 ? to : scanned.comment;
  const last = scanned.tokens.at(-1);
  const lineEnd = Math.min(codeEnd, last ? last.endOffset! + 1 : wordSpan.to);
  const parsed = row
    ? parseLine(row, scanned.tokens, lineEnd, entry.findings)
    : { values: [], words: [], whole: false };
  checkList(entry, row, parsed.values);
  return {
    word: scanned.word,
    wordSpan,
    ...(row ? { row } : {}),
    ...parsed,
    ...(scanned.comment < 0 ? {} : { comment: { from: scanned.comment, to } }),
    from,
    to,
  };
}

/** The count of a list has to be that of its range. */
function checkList(entry: Parts, row: Row | undefined, values: readonly Value[]): void {
  if (!row || !isList(row)) return;
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
  entry.lines.push({
    word: content.split(/\s/)[0]!,
    wordSpan: { from, to },
    values: [],
    words: [],
    whole: false,
    from,
    to,
  });
  entry.findings.push({
    ...at(
      'line-start',
      { from, to },
      `A line cannot begin with '${[...content][0]}'.`,
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

function misplaced(kind: EntryKind, line: Line): Finding {
  const known = [...rowsIn(kind).keys()];
  return unknownWord(
    line,
    nearest(line.word, known),
    `'${line.word}' is no word of a ${kind}.`,
    `A ${kind} has: ${known.join(', ')}.`,
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
function repeated(entry: Parts): void {
  const seen = new Map<string, Line>();
  let coat = '';
  for (const line of entry.lines) {
    const { row } = line;
    if (!row || row.repeat === 'free' || !line.whole) continue;
    if (line.word === 'coat') coat = line.values[0]?.text ?? '';
    const scope = line.word === 'toner' ? coat : '';
    const key = [
      row.word,
      scope,
      ...row.key.map((place) => line.values.find((value) => value.place === place)?.text ?? ''),
    ].join('\u0000');
    const first = seen.get(key);
    if (!first) {
      seen.set(key, line);
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
      fixes: [{ title: 'Take this line out', edits: [{ from: line.from, to: line.to, text: '' }] }],
    });
  }
}

function conflictFinding(entry: Parts, text: string): void {
  const first = entry.conflicts[0];
  if (!first) return;
  entry.findings.push({
    ...at(
      'conflict',
      first,
      'A merge conflict is open here; the entry is read on our side of it.',
      'Take our side or theirs, or write the lines by hand and remove the markers.',
    ),
    fixes: [
      { title: 'Take our side', edits: resolution(entry.conflicts, text, 'ours') },
      { title: 'Take their side', edits: resolution(entry.conflicts, text, 'theirs') },
    ].filter((fix) => fix.edits.length > 0),
  });
}

/** Edits that leave one side; nothing when the conflict reaches beyond this entry. */
function resolution(
  conflicts: readonly Span[],
  text: string,
  keep: 'ours' | 'theirs',
): { from: number; to: number; text: string }[] {
  const first = conflicts[0]!;
  const last = conflicts.at(-1)!;
  if (!text.startsWith('<<<<<<<', first.from) || !text.startsWith('>>>>>>>', last.from)) return [];
  const edits: { from: number; to: number; text: string }[] = [];
  let side: Side = 'none';
  for (let from = first.from; from < last.to; ) {
    const end = endOfLine(text, from);
    const next = sideAfter(text.slice(from, end), side);
    if (next !== undefined || (side !== keep && side !== 'none')) edits.push({ from, to: end, text: '' });
    side = next ?? side;
    from = end;
  }
  return edits;
}
