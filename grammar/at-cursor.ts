/** What may stand at the cursor of a half-typed entry, for completion and signature help. */
import { type Expected, expectedOn, follow, takes } from './expect.ts';
import { parseEntry } from './parse.ts';
import type { Place } from './place.ts';
import { isOdd, type ScannedLine, scanLine } from './scanner.ts';
import { typeOf } from './tokens.ts';
import type { Entry, Line, Span } from './tree.ts';
import { type EntryKind, headRows, type Row, rowsIn } from './words.ts';

export interface AtCursor {
  readonly kind: EntryKind | undefined;
  /** The words with which the line may begin, when the cursor stands at its first atom. */
  readonly words: readonly Row[];
  /** The row of the line, when the cursor stands behind its word. */
  readonly row: Row | undefined;
  /** What may stand at the cursor behind the atoms before it. */
  readonly expected: readonly Expected[];
  /** May the line end before the cursor? */
  readonly mayEnd: boolean;
  /** The atom at the cursor as far as it is typed, and the span that a completion replaces. */
  readonly typed: string;
  readonly replace: Span;
  readonly line: Line | undefined;
}

/** Nothing inside a comment. Offsets count in the entry's text. */
export function placesAt(
  text: string,
  offset: number,
  entry: Entry = parseEntry({ text, side: 'none' }),
): AtCursor | undefined {
  const at = Math.max(0, Math.min(offset, text.length));
  const line = lineAt(text, entry, at);
  const start = line?.from ?? text.lastIndexOf('\n', at - 1) + 1;
  if (line?.comment && at > line.comment.from) return undefined;
  if (entry.comments.some((comment) => comment.from <= at && at <= comment.to && text.indexOf('#', comment.from) < at))
    return undefined;
  const before = scanLine(text, start, at, line?.row !== undefined, []);
  const typing = atomAt(text, before, at);
  const replace = { from: typing.from, to: endOfAtom(text, at, text[typing.from] === '"') };
  const typed = text.slice(typing.from, at);
  const base = { kind: entry.kind, typed, replace, line };
  if (typing.isWord) {
    const margin = typing.from === start && !/[ \t]/.test(text[start] ?? '');
    return { ...base, words: wordsAt(entry, line, margin), row: undefined, expected: [], mayEnd: false };
  }
  const row = rowOf(entry, line, before);
  const tokens = typed === '' ? before.tokens : before.tokens.slice(0, -1);
  const { ways, fitted } = row ? follow(row.places, tokens) : { ways: [], fitted: -1 };
  const fits = fitted === tokens.length;
  return { ...base, words: [], row, expected: fits ? expectedOn(ways) : [], mayEnd: fits && ways.includes(undefined) };
}

function lineAt(text: string, entry: Entry, at: number): Line | undefined {
  const all = entry.head ? [entry.head, ...entry.lines] : entry.lines;
  const found = all.find((line) => line.from <= at && at <= line.to);
  // Behind a list on an empty line a new line begins.
  return found && text.slice(found.from, at).trim() === '' && text.slice(at, found.to).trim() === ''
    ? undefined
    : found;
}

/** The atom that ends at the cursor, and whether it is the line's word (or would be). */
function atomAt(text: string, before: ScannedLine, at: number): { from: number; isWord: boolean } {
  const last = before.tokens.at(-1);
  if (last) {
    const touches = last.endOffset! + 1 === at && !(last.image.length > 1 && /^".*"$/.test(last.image));
    const open = text[last.startOffset] === '"' && !/^".*"$/.test(last.image);
    // Of a list of numbers only the one at the cursor.
    const inRun = /[ \t\r\n][^ \t\r\n]*$/.exec(last.image);
    const from = inRun && !open ? last.startOffset + inRun.index + 1 : last.startOffset;
    return { from: touches || open ? from : at, isWord: false };
  }
  if (before.word === '') return { from: at, isWord: true };
  const wordEnd = before.wordFrom + before.word.length;
  return wordEnd === at ? { from: before.wordFrom, isWord: true } : { from: at, isWord: false };
}

function endOfAtom(text: string, from: number, quoted: boolean): number {
  let at = from;
  while (at < text.length) {
    const char = text[at]!;
    if (char === '\n' || char === '\r') return at;
    if (quoted && char === '"') return at + 1;
    if (!quoted && (char === ' ' || char === '\t' || char === '"' || isOdd(char.charCodeAt(0)))) return at;
    at++;
  }
  return at;
}

function wordsAt(entry: Entry, line: Line | undefined, margin: boolean): readonly Row[] {
  if (margin) return [...headRows.values()];
  if (entry.kind === undefined || (line !== undefined && line === entry.head)) return [];
  return [...rowsIn(entry.kind).values()].filter((row) => row.repeat !== 'once' || !isSaid(entry, line, row));
}

/** Words that stand once are not offered twice. */
const isSaid = (entry: Entry, line: Line | undefined, row: Row): boolean =>
  entry.lines.some((other) => other.row === row && other !== line);

function rowOf(entry: Entry, line: Line | undefined, before: ScannedLine): Row | undefined {
  if (line?.row) return line.row;
  if (line !== undefined && line === entry.head) return headRows.get(before.word);
  return entry.kind && rowsIn(entry.kind).get(before.word);
}

export interface Signature {
  readonly row: Row;
  /** The line as the language reference shows it: `toner ‹toner› ‹parts›`. */
  readonly label: string;
  /** Where each place stands in the label. */
  readonly parts: readonly (Span & { readonly name: string })[];
  /** The part at the cursor; -1 when nothing more may stand there. */
  readonly active: number;
}

export function signatureAt(text: string, offset: number, entry?: Entry): Signature | undefined {
  const cursor = placesAt(text, offset, entry);
  if (!cursor?.row) return undefined;
  const { label, leaves } = laidOut(cursor.row);
  const next = fitting(cursor) ?? cursor.expected[0];
  const place = next && (next.is === 'word' ? next : next.place);
  return {
    row: cursor.row,
    label,
    parts: leaves.map(({ from, to, place: own }) => ({ from, to, name: own.is === 'word' ? own.text : own.name })),
    active: leaves.findIndex((leaf) => leaf.place === place),
  };
}

/** Of several things that may stand at the cursor, the one that the typed atom is. */
function fitting({ expected, typed }: AtCursor): Expected | undefined {
  if (typed === '') return undefined;
  const type = typeOf(typed);
  const token = { image: typed, startOffset: 0, tokenType: type, tokenTypeIdx: type.tokenTypeIdx! };
  return expected.find((one) => takes(one.is === 'value' ? one.place : one, token));
}

type Leaf = Span & { readonly place: Extract<Place, { is: 'word' | 'value' }> };

function laidOut(row: Row): { label: string; leaves: Leaf[] } {
  const leaves: Leaf[] = [];
  let label = row.word;
  const write = (text: string): void => {
    label += text;
  };
  const sequence = (places: readonly Place[]): void => {
    places.forEach((place, index) => {
      if (index > 0) write(' ');
      one(place);
    });
  };
  const one = (place: Place): void => {
    if (place.is === 'word' || place.is === 'value') {
      const from = label.length;
      write(place.is === 'word' ? place.text : place.type === 'choice' ? place.args.join('|') : `‹${place.name}›`);
      leaves.push({ from, to: label.length, place });
    } else if (place.is === 'optional') {
      write('[');
      sequence(place.places);
      write(']');
    } else if (place.is === 'some') {
      sequence(place.places);
      write(' …');
    } else {
      if (place.ways.length > 1) write('(');
      place.ways.forEach((way, index) => {
        if (index > 0) write(' | ');
        sequence(way);
      });
      if (place.ways.length > 1) write(')');
    }
  };
  write(' ');
  sequence(row.places);
  return { label, leaves };
}
