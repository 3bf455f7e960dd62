/**
 * An entry as a row of items for merging: each line that says something, with the comment and empty lines above it, under a key by which
 * the same line is found again in another version. Nothing is printed anew: an item keeps its lines as they were written.
 */
import { parseEntry } from '../../grammar/parse.ts';
import type { Entry, Line } from '../../grammar/tree.ts';
import { namespaceOf } from '../../grammar/words.ts';
import { ORDERED } from './meaning.ts';

export interface Item {
  readonly key: string;
  /** `toner`, `note` … ; empty for the end of the entry. */
  readonly word: string;
  /** Does its place among its like mean something (the order of pouring)? */
  readonly ordered: boolean;
  /** May it stand as often as wanted, so that nothing but its place tells which line an edited one was? */
  readonly free: boolean;
  /** Comment and empty lines above it. */
  readonly lead: readonly string[];
  /** The line and, of a list of numbers, those on which it goes on; none for the end of the entry. */
  readonly lines: readonly string[];
}

export interface EntryItems {
  readonly items: readonly Item[];
  readonly entry: Entry;
}

/** Lines without their line ends. */
export const linesOfText = (text: string): string[] => {
  const lines = text.split('\n').map((line) => (line.endsWith('\r') ? line.slice(0, -1) : line));
  if (lines.at(-1) === '') lines.pop();
  return lines;
};

export function itemsOf(lines: readonly string[]): EntryItems {
  const text = lines.join('\n');
  const entry = parseEntry({ text, side: 'none' });
  const starts = lineStarts(lines);
  const items: Item[] = [];
  const seen = new Map<string, number>();
  let next = 0;
  let coat = '';
  const all = [...(entry.head ? [entry.head] : []), ...entry.lines].sort((a, b) => a.from - b.from);
  for (const line of all) {
    const first = lineAt(starts, line.from);
    if (first < next) continue;
    const last = lineAt(starts, Math.max(line.from, line.to - 1));
    if (line !== entry.head && line.word === 'coat') coat = line.values[0]?.text ?? '';
    const key = line === entry.head ? 'head' : keyOf(entry, line, coat, lines.slice(first, last + 1));
    const count = (seen.get(key) ?? 0) + 1;
    seen.set(key, count);
    items.push({
      key: count === 1 ? key : `${key} #${count}`,
      word: line === entry.head ? '' : line.word,
      ordered: line !== entry.head && isOrdered(entry, line),
      free: line !== entry.head && (!line.row || line.row.repeat === 'free' || !line.whole),
      lead: lines.slice(next, first),
      lines: lines.slice(first, last + 1),
    });
    next = last + 1;
  }
  items.push({ key: 'end', word: '', ordered: false, free: false, lead: lines.slice(next), lines: [] });
  return { items, entry };
}

function lineStarts(lines: readonly string[]): number[] {
  let at = 0;
  return lines.map((line) => {
    const start = at;
    at += line.length + 1;
    return start;
  });
}

function lineAt(starts: readonly number[], offset: number): number {
  let low = 0;
  let high = starts.length;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (starts[middle]! <= offset) low = middle;
    else high = middle;
  }
  return low;
}

const isRecipe = ({ kind }: Entry): boolean => kind === 'formula' || kind === 'variant';

/** `without take 2` of a reading stands anywhere; `without BLK-1` of a variant stands among its toners. */
const isOrdered = (entry: Entry, { word }: Line): boolean =>
  ORDERED.has(word) && (word !== 'without' || isRecipe(entry));

function keyOf(entry: Entry, line: Line, coat: string, lines: readonly string[]): string {
  const { row, word } = line;
  if (!row || !line.whole || row.repeat === 'free') return `${word} ${codeOf(lines)}`;
  if (row.repeat === 'once') return word;
  const places = row.key.map(
    (place) => line.values.find((value) => value.place === place)?.text.normalize('NFC') ?? '',
  );
  if (word === 'coat') return `coat ${places.join(' ')}`;
  // A toner that one side takes out and the other changes is one toner.
  if (word === 'toner' || (word === 'without' && isRecipe(entry))) return `toner ${coat} ${places.join(' ')}`;
  return [word, ...places].join('\u0000');
}

/** What lines say, blanks and comments aside. */
export const codeOf = (lines: readonly string[]): string =>
  lines
    .map((line) =>
      splitComment(line)
        .code.trim()
        .replace(/[ \t]+/g, ' '),
    )
    .join('\n');

/** A line up to its comment, and the comment with the blanks before it. A `#` opens one at the start or behind a blank, outside a text. */
export function splitComment(line: string): { readonly code: string; readonly comment: string } {
  let inText = false;
  for (let at = 0; at < line.length; at++) {
    const char = line[at];
    if (inText && char === '\\') at++;
    else if (char === '"') inText = !inText;
    else if (char === '#' && !inText && (at === 0 || line[at - 1] === ' ' || line[at - 1] === '\t')) {
      const code = line.slice(0, at).trimEnd();
      return { code, comment: line.slice(code.length) };
    }
  }
  return { code: line.trimEnd(), comment: '' };
}

/** What an entry is called among the entries of a file. */
export function nameOf({ kind, head }: Entry): string {
  const id = head?.values.find((value) => value.place === 'id')?.text.normalize('NFC');
  const space = kind && namespaceOf(kind);
  return kind === undefined ? '' : id === undefined ? kind : `${space ?? kind}:${id}`;
}
