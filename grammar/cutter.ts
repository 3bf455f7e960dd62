/**
 * Cuts a file into entries by looking at the start of each line, without parsing: a letter at the margin starts an entry, all lines
 * below belong to it. Comments at the margin directly above a head, with no empty line between, go with that head.
 */
import { bodyWords, type EntryKind, headRows, rowsIn } from './words.ts';

/** Which side of a merge conflict a line lies on. An entry is read on 'ours'; the other side is kept in the text, unread. */
export type Side = 'none' | 'ours' | 'base' | 'theirs';

export interface Slice {
  readonly text: string;
  /** The side on which the slice begins; a conflict may reach over several entries. */
  readonly side: Side;
}

export interface Cut {
  readonly slices: Slice[];
  /** The side after the last line. */
  readonly side: Side;
}

const MARKER = /^(<{7}|\|{7}|={7}|>{7})(?=[ \r\n]|$)/;

/** The side on which the next line lies, if this line is a conflict marker; undefined for an ordinary line. */
export function sideAfter(line: string, side: Side): Side | undefined {
  const marker = MARKER.exec(line)?.[1]?.[0];
  if (marker === '<' && side === 'none') return 'ours';
  if (marker === '|' && side === 'ours') return 'base';
  if (marker === '=' && (side === 'ours' || side === 'base')) return 'theirs';
  if (marker === '>' && side === 'theirs') return 'none';
  return undefined;
}

const DUAL = new Set([...headRows.keys()].filter((word) => bodyWords.has(word)));
const FIRST_WORD = /^\p{L}[^ \t\r\n"]*/u;
const NEXT_ATOM = /[ \t]+(?!#)([^ \t\r\n]{1,80})/y;

/**
 * Does this line at the margin start an entry? A word of the body that lost its indent does not. A word that is both
 * (`toner BLK-1 "Carbon black"`, `toner BLK-1 1.25`) starts one unless the line reads as one of the body. `system WB` may be either,
 * so the line below decides.
 */
export function startsEntry(line: string, nextLine = ''): boolean {
  const word = FIRST_WORD.exec(line)?.[0];
  if (word === undefined) return false;
  if (!DUAL.has(word)) return !bodyWords.has(word);
  NEXT_ATOM.lastIndex = word.length;
  const first = NEXT_ATOM.exec(line)?.[1];
  if (first === undefined || first.startsWith('"')) return true;
  if (/^\d+([.,]\d+)?$/.test(first)) return false;
  const second = NEXT_ATOM.exec(line)?.[1];
  if (second !== undefined) return !/^[\d+\-=.,]|^grey$/.test(second);
  return !goesOnOutside(word as EntryKind, nextLine);
}

/** Is the next line indented, and none that an entry of this kind may have? */
function goesOnOutside(kind: EntryKind, nextLine: string): boolean {
  const word = /^[ \t]+([^ \t\r\n"#]{1,80})/.exec(nextLine)?.[1];
  return word !== undefined && bodyWords.has(word) && !rowsIn(kind).has(word);
}

/**
 * Entries of a text, in order; joined they are the text again. Text before the first head is a slice without one. Where an entry begins
 * at `from` the text above that can be passed over, and no more than `most` entries need be cut.
 */
export function cut(text: string, side: Side = 'none', from = 0, most = Infinity): Cut {
  const slices: Slice[] = [];
  let start = from;
  let startSide = side;
  /** Where a comment block above the line at hand begins; it may turn out to belong to the next head. */
  let commentStart = -1;
  let hasHead = false;

  for (let at = from; at < text.length; ) {
    const newline = text.indexOf('\n', at);
    const end = newline < 0 ? text.length : newline + 1;
    const first = text.charCodeAt(at === 0 && text.charCodeAt(0) === BOM ? 1 : at);
    if (isMarkerChar(first)) {
      const next = sideAfter(text.slice(at, Math.min(end, at + 8)), side);
      if (next) side = next;
      commentStart = -1;
    } else if (side === 'base' || side === 'theirs') {
      commentStart = -1;
    } else if (first === HASH) {
      if (commentStart < 0) commentStart = at;
    } else if (isBlank(first)) {
      commentStart = -1;
      at = nextAtMargin(text, end);
      continue;
    } else if (isHead(text, at, end)) {
      const top = commentStart < 0 ? at : commentStart;
      if (top > start && (hasHead || text.slice(start, top).trim() !== '' || top !== at)) {
        slices.push({ text: text.slice(start, top), side: startSide });
        if (slices.length === most) return { slices, side };
        start = top;
        startSide = side;
      }
      hasHead = true;
      commentStart = -1;
    } else commentStart = -1;
    at = end;
  }
  if (start < text.length) slices.push({ text: text.slice(start), side: startSide });
  return { slices, side };
}

/** The start of the first line from here on that begins at the margin: most lines of a book are indented, and cut nothing. */
function nextAtMargin(text: string, lineStart: number): number {
  AT_MARGIN.lastIndex = lineStart - 1;
  return AT_MARGIN.test(text) ? AT_MARGIN.lastIndex : text.length;
}

const AT_MARGIN = /\n(?=[^ \t\r\n])/g;

/** Does an entry begin here, with its comments or its head? Asked of the start of a line that lies in no conflict. */
export function entryAt(text: string, from: number): boolean {
  let at = from;
  while (text.charCodeAt(at) === HASH) {
    const newline = text.indexOf('\n', at);
    if (newline < 0) return false;
    at = newline + 1;
  }
  const newline = text.indexOf('\n', at);
  return isHead(text, at, newline < 0 ? text.length : newline + 1);
}

function isHead(text: string, at: number, end: number): boolean {
  const start = at === 0 && text.charCodeAt(0) === BOM ? 1 : at;
  return startsEntry(text.slice(start, Math.min(end, start + MOST_LOOKED_AT)), text.slice(end, end + MOST_LOOKED_AT));
}

const MOST_LOOKED_AT = 400;
const BOM = 0xfeff;
const HASH = 0x23;
const isBlank = (char: number): boolean => char === 0x20 || char === 0x09 || char === 0x0a || char === 0x0d;
export const isMarkerChar = (char: number): boolean => char === 0x3c || char === 0x7c || char === 0x3d || char === 0x3e;
