/** Two versions of a book entry by entry: what came, what went, what says something else now, what only has another name. */
import type { Slice } from '../../grammar/cutter.ts';
import type { Entry, Line, Value } from '../../grammar/tree.ts';
import type { Book } from '../book/book.ts';
import type { EntryCell } from '../book/cell.ts';
import { lineMeaning, meaningOf } from './meaning.ts';

export interface Added {
  readonly is: 'added';
  /** `formula:SAM-31`; the `book` entry is `book:`. */
  readonly name: string;
  readonly after: EntryCell;
}

export interface Removed {
  readonly is: 'removed';
  readonly name: string;
  readonly before: EntryCell;
}

export interface Changed {
  readonly is: 'changed' | 'renamed';
  readonly name: string;
  /** The name before; the same unless it was renamed. */
  readonly from: string;
  readonly before: EntryCell;
  readonly after: EntryCell;
  /** The words whose lines differ; none where only the name does. */
  readonly words: readonly string[];
}

export type EntryChange = Added | Removed | Changed;

/** Entries that say the same in both are not listed, wherever they stand and however they are written. Sorted by name. */
export const entryChanges = (before: Book, after: Book): EntryChange[] =>
  changesAmong(before, byKey(before), byKey(after));

/** The same of some entries of both by their names; those left out have to be the same. `before` is the book of `old`. */
export function changesAmong(
  before: Book,
  old: ReadonlyMap<string, EntryCell>,
  now: ReadonlyMap<string, EntryCell>,
): EntryChange[] {
  const added = new Map([...now].filter(([key]) => !old.has(key)));
  const removed = new Map([...old].filter(([key]) => !now.has(key)));
  const pairs = [...sameUnderOtherName(removed, added), ...alikeUnderOtherName(removed, added)];
  const renamings = new Map(pairs.map(({ from, to }) => [from, to.slice(to.indexOf(':') + 1)]));
  const changes: EntryChange[] = pairs.map(({ from, to }) => {
    const [a, b] = [old.get(from)!, now.get(to)!];
    return { is: 'renamed', name: to, from, before: a, after: b, words: changedWords(before, a, b, renamings) };
  });
  for (const [key, cell] of now) {
    const other = old.get(key);
    if (!other || other.slice.text === cell.slice.text) continue;
    const words = renamings.size > 0 ? changedWords(before, other, cell, renamings) : wordsOnce(before, other, cell);
    if (words.length > 0) changes.push({ is: 'changed', name: key, from: key, before: other, after: cell, words });
  }
  for (const [key, cell] of removed) changes.push({ is: 'removed', name: key, before: cell });
  for (const [key, cell] of added) changes.push({ is: 'added', name: key, after: cell });
  return changes.sort((a, b) => (a.name < b.name ? -1 : a.name > b.name ? 1 : 0));
}

/** The name of an entry; the `book` entry, which has none, is `book:`. */
export const keyOf = (cell: EntryCell): string | undefined =>
  cell.name ?? (cell.entry.kind === 'book' ? 'book:' : undefined);

/** Entries by their name; the `book` entry, which has none, as `book:`. Of two of one name the first counts, as everywhere. */
function byKey(book: Book): Map<string, EntryCell> {
  const found = new Map<string, EntryCell>();
  for (const uri of [...book.files.keys()].sort()) {
    for (const cell of book.files.get(uri)!.cells) {
      const key = keyOf(cell);
      if (key && !found.has(key)) found.set(key, cell);
    }
  }
  return found;
}

interface Renaming {
  readonly from: string;
  readonly to: string;
}

type Cells = Map<string, EntryCell>;

/** Entries that went and came saying the same but for their id. What is paired is taken out of both maps. */
function sameUnderOtherName(removed: Cells, added: Cells): Renaming[] {
  const comers = new Map<string, string>();
  for (const [to, cell] of added) comers.set(`${spaceOf(to)} ${meaningOf(cell, { withId: false })}`, to);
  const pairs: Renaming[] = [];
  for (const [from, cell] of [...removed]) {
    const to = comers.get(`${spaceOf(from)} ${meaningOf(cell, { withId: false })}`);
    if (to === undefined || !added.has(to)) continue;
    pairs.push({ from, to });
    removed.delete(from);
    added.delete(to);
  }
  return pairs;
}

/** Beyond this many pairs to look at, entries that were renamed and edited at once are told as one gone and one come. */
const MOST_PAIRS = 20_000;
/** Share of lines that have to be the same for an edited entry to count as the same one, as git counts for files. */
const ALIKE = 0.5;

function alikeUnderOtherName(removed: Cells, added: Cells): Renaming[] {
  if (removed.size * added.size > MOST_PAIRS) return [];
  const lines = (cell: EntryCell) => new Set(cell.entry.lines.map((line) => lineMeaning(cell, line)));
  const comers = [...added].map(([to, cell]) => ({ to, kind: cell.entry.kind, lines: lines(cell) }));
  const pairs: Renaming[] = [];
  for (const [from, cell] of [...removed]) {
    const own = lines(cell);
    const best = comers
      .filter(({ to, kind }) => added.has(to) && kind === cell.entry.kind)
      .map(({ to, lines: theirs }) => ({ to, share: shared(own, theirs) }))
      .reduce((a, b) => (b.share > a.share ? b : a), { to: '', share: 0 });
    if (best.share <= ALIKE) continue;
    pairs.push({ from, to: best.to });
    removed.delete(from);
    added.delete(best.to);
  }
  return pairs;
}

function shared(a: ReadonlySet<string>, b: ReadonlySet<string>): number {
  if (a.size + b.size === 0) return 0;
  let both = 0;
  for (const line of a) if (b.has(line)) both++;
  return both / Math.max(a.size, b.size);
}

const spaceOf = (key: string): string => key.slice(0, key.indexOf(':'));

/** Without renamings the words hang on the two texts alone: an editor asks for the same ones after every key elsewhere. */
const told = new WeakMap<Slice, { readonly before: Slice; readonly words: readonly string[] }>();

function wordsOnce(book: Book, before: EntryCell, after: EntryCell): readonly string[] {
  const known = told.get(after.slice);
  if (known?.before === before.slice) return known.words;
  const words = changedWords(book, before, after, new Map());
  told.set(after.slice, { before: before.slice, words });
  return words;
}

/** The words whose lines differ; that an entry named on them has another name now is no difference. */
function changedWords(
  book: Book,
  before: EntryCell,
  after: EntryCell,
  renamings: ReadonlyMap<string, string>,
): string[] {
  const names = new Map<Value, string>();
  if (renamings.size > 0) for (const { name, value } of book.mentionsIn(before)) names.set(value, name);
  const renamed = (value: Value) => {
    const name = names.get(value);
    return name === undefined ? undefined : renamings.get(name);
  };
  const own = before.name !== after.name;
  const [ofOld, ofNow] =
    renamings.size === 0 && before.entry.kind === after.entry.kind ? writtenOtherwise(before, after) : [ALL, ALL];
  const old = grouped(before, ofOld, (line) => lineMeaning(before, line, { withId: !own, renamed }));
  const now = grouped(after, ofNow, (line) => lineMeaning(after, line, { withId: !own }));
  return [...new Set([...old.keys(), ...now.keys()])].filter((word) => old.get(word) !== now.get(word));
}

/** The lines of an entry from one to another, and its head or not. */
interface Stretch {
  readonly head: boolean;
  readonly from: number;
  readonly to: number;
}

const ALL: Stretch = { head: true, from: 0, to: Number.POSITIVE_INFINITY };

/** What is left of both between the first and the last lines that they write alike: these say the same, unless a name changed. */
function writtenOtherwise(before: EntryCell, after: EntryCell): [Stretch, Stretch] {
  const [old, now] = [before.entry, after.entry];
  const texts = [before.slice.text, after.slice.text] as const;
  const alike = (a: Line | undefined, b: Line | undefined): boolean =>
    a === b || (a !== undefined && b !== undefined && texts[0].slice(a.from, a.to) === texts[1].slice(b.from, b.to));
  const shorter = Math.min(old.lines.length, now.lines.length);
  let first = 0;
  while (first < shorter && alike(old.lines[first], now.lines[first])) first++;
  let last = 0;
  while (last < shorter - first && alike(old.lines.at(-1 - last), now.lines.at(-1 - last))) last++;
  const head = !alike(old.head, now.head);
  return [
    { head, from: first, to: old.lines.length - last },
    { head, from: first, to: now.lines.length - last },
  ];
}

/** `toner` and `without` lines are told together, since their order among each other counts. */
const GROUP: Readonly<Record<string, string>> = { without: 'toner', coat: 'toner', tinted: 'poured' };

/** The word of the head (`toner`, `system`) may stand in the body of other entries only. */
const headGroup = ({ kind }: Entry): string => kind ?? '?';

/** A reading's `without` leaves a take out. */
const groupOf = (kind: Entry['kind'], { word }: Line): string =>
  kind === 'formula' || kind === 'variant' || word !== 'without' ? (GROUP[word] ?? word) : word;

function grouped(
  { entry }: EntryCell,
  { head, from, to }: Stretch,
  meaning: (line: Line) => string,
): Map<string, string> {
  const groups = new Map<string, string[]>();
  if (head && entry.head) groups.set(headGroup(entry), [meaning(entry.head)]);
  for (const line of entry.lines.slice(from, to)) {
    const word = groupOf(entry.kind, line);
    const lines = groups.get(word);
    if (lines) lines.push(meaning(line));
    else groups.set(word, [meaning(line)]);
  }
  const told = new Map<string, string>();
  for (const [word, lines] of groups)
    told.set(word, (word === 'toner' || word === 'poured' ? lines : lines.sort()).join('\n'));
  return told;
}
