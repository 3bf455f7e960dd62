/** Two versions of a book, of which only those entries are parsed that a change can touch, and what these name. */
import { ReadLines } from '../../grammar/read-lines.ts';
import { Book } from '../book/book.ts';
import type { EntryCell } from '../book/cell.ts';
import { LOCK_NAME, readLock } from '../book/optics/lock.ts';
import { putFits } from '../book/optics/optics.ts';
import { atomsOf, linesOf, Outline, type OutlineFile, type Part } from './outline.ts';
import { pathOf, type Source, uriOf } from './source.ts';
import type { HidingOf } from './state.ts';

export interface Place {
  readonly file: string;
  /** From 1. */
  readonly line: number;
}

export interface Version {
  readonly label: string;
  readonly commit: string | null;
  /** The entries that matter; all else of the book is left out. */
  readonly book: Book;
  /** Where the head of an entry (or an offset in its text) stands in the whole file. */
  readonly placeOf: (cell: EntryCell, offset?: number) => Place;
  /** How soon a paint hides, where that is not worked out at once. */
  readonly hidingOf?: HidingOf;
  /** Paths of files that readings name, with the ids of what they hold. */
  readonly beside: Source['beside'];
  /** Paths of files with an open merge conflict. */
  readonly conflicts?: readonly string[];
}

export interface Versions {
  readonly before: Version;
  readonly after: Version;
}

export async function openVersions(before: Source, after: Source): Promise<Versions> {
  const old = new Outline(before);
  const now = new Outline(after, old);
  const locked = before.beside.has(LOCK_NAME) || after.beside.has(LOCK_NAME);
  // Toners that are known otherwise reach every formula.
  const relearned = before.beside.get(LOCK_NAME)?.id !== after.beside.get(LOCK_NAME)?.id;
  const chosen = relearned ? 'all' : choose(old, now, locked);
  const lines = new ReadLines();
  return { before: await open(old, chosen, lines), after: await open(now, chosen, lines) };
}

/** One version with all its entries, cut and read by itself: what a comparison of parts has to agree with. */
export const openWhole = (source: Source): Promise<Version> => open(new Outline(source), 'all');

/** One version with an entry of it, all that it names, and its cards. */
export async function openEntry(source: Source, id: string): Promise<Version> {
  const outline = new Outline(source);
  const locked = source.beside.has(LOCK_NAME);
  const wanted = new Set(outline.withId(id));
  for (const part of always(outline, locked)) wanted.add(part);
  return open(outline, withNamed(outline, wanted));
}

/** Entries of both versions that a change can touch, with everything that they name, and the settings of the shop. */
function choose(old: Outline, now: Outline, locked: boolean): ReadonlySet<Part> | 'all' {
  const [gone, come] = changedParts(old, now);
  const seeds = [...gone, ...come];
  if (seeds.some(({ kind }) => kind === 'book')) return 'all';
  const wanted = ([side, own]: readonly [Outline, readonly Part[]]): Set<Part> => {
    const found = new Set([...own, ...inConflict(side), ...always(side, locked)]);
    for (const part of reached(side, seeds)) found.add(part);
    return withNamed(side, found);
  };
  return balanced(old, now, wanted([old, gone]), wanted([now, come]));
}

/** A file with an open conflict is taken whole: so its entries are looked at in the other version, too. */
const inConflict = (side: Outline): Part[] =>
  [...side.files.values()].flatMap(({ conflict, parts }) => (conflict ? parts : []));

/** What is looked at in one version is looked at in the other: else an entry that only one of them names would seem to be gone. */
function balanced(old: Outline, now: Outline, ofOld: ReadonlySet<Part>, ofNow: ReadonlySet<Part>): ReadonlySet<Part> {
  const idsOf = (parts: ReadonlySet<Part>) => new Set([...parts].flatMap(({ id }) => id ?? []));
  const [a, b] = [idsOf(ofOld), idsOf(ofNow)];
  const missing = (ids: ReadonlySet<string>, other: ReadonlySet<string>, side: Outline) =>
    [...other].filter((id) => !ids.has(id)).flatMap((id) => side.withId(id));
  const [moreOld, moreNow] = [missing(a, b, old), missing(b, a, now)];
  if (moreOld.length + moreNow.length === 0) return new Set([...ofOld, ...ofNow]);
  return balanced(
    old,
    now,
    withNamed(old, new Set([...ofOld, ...moreOld])),
    withNamed(now, new Set([...ofNow, ...moreNow])),
  );
}

/** The settings of the shop, and what the toners are learned from where that is recorded. */
const always = (side: Outline, locked: boolean): Part[] =>
  (locked ? ['book', ...CARDS] : ['book']).flatMap((kind) => side.ofKind(kind));

const CARDS = ['sprayout', 'drawdown', 'toner', 'letdown', 'undercoat', 'batch'];

/** Entries whose text the other version does not have, wherever it stands, old and new; and those whose named file differs. */
function changedParts(old: Outline, now: Outline): [Part[], Part[]] {
  const [gone, come] = [lacking(now.gone, now.come), lacking(now.come, now.gone)];
  const names = [...differingFiles(old.source, now.source)].map((path) => path.slice(path.lastIndexOf('/') + 1));
  return [
    [...gone, ...naming(old, names)],
    [...come, ...naming(now, names)],
  ];
}

function lacking(parts: readonly Part[], others: readonly Part[]): Part[] {
  const texts = new Set(others.map(({ text }) => text));
  return parts.filter(({ text }) => !texts.has(text));
}

function naming(side: Outline, names: readonly string[]): Part[] {
  if (names.length === 0) return [];
  return [...side.parts()].filter(
    ({ kind, text }) => MEASURED.has(kind ?? '') && names.some((name) => text.includes(name)),
  );
}

const MEASURED = new Set(['reading', 'sprayout', 'drawdown']);

/** Files beside the book that the two versions do not share. */
function* differingFiles(a: Source, b: Source): Generator<string> {
  for (const path of new Set([...a.beside.keys(), ...b.beside.keys()])) {
    if (path !== LOCK_NAME && a.beside.get(path)?.id !== b.beside.get(path)?.id) yield path;
  }
}

/** Kinds whose change can reach a formula that only names them. */
const CARRIERS = new Set(['toner', 'letdown', 'undercoat', 'reading', 'batch', 'system']);

function reached(side: Outline, seeds: readonly Part[]): Set<Part> {
  const found = new Set<Part>();
  const seen = new Set<string>();
  const queue = [...seeds];
  for (let part = queue.pop(); part; part = queue.pop()) {
    const { id, kind } = part;
    if (kind === 'sprayout' && part.of !== undefined) take(side.withId(part.of));
    if (id === undefined || seen.has(`${kind}:${id}`)) continue;
    seen.add(`${kind}:${id}`);
    if (kind === 'formula' || kind === 'variant') {
      take(side.withId(id));
      take(side.of(id));
      take(side.over(id));
    } else if (CARRIERS.has(kind ?? '')) take(side.mentioning(id));
  }
  return found;

  function take(parts: readonly Part[]): void {
    for (const one of parts) {
      if (found.has(one)) continue;
      found.add(one);
      queue.push(one);
    }
  }
}

/** These entries, the cards of their formulas, and whatever any of them names. */
function withNamed(side: Outline, wanted: ReadonlySet<Part>): Set<Part> {
  const found = new Set<Part>();
  const asked = new Set<string>();
  /** Most lines of a book stand in many entries. */
  const read = new Set<string>();
  const queue = [...wanted];
  const ask = (id: string) => {
    if (asked.has(id)) return;
    asked.add(id);
    for (const part of side.withId(id)) queue.push(part);
  };
  for (const part of wanted)
    if ((part.kind === 'formula' || part.kind === 'variant') && part.id !== undefined)
      for (const one of side.of(part.id)) if (one.kind !== 'variant') queue.push(one);
  for (let part = queue.pop(); part; part = queue.pop()) {
    if (found.has(part)) continue;
    found.add(part);
    for (const id of parents(part)) ask(id);
    for (const line of part.text.split('\n')) {
      if (read.has(line)) continue;
      read.add(line);
      for (const id of atomsOf(line)) ask(id);
    }
  }
  return found;
}

function* parents({ kind, id }: Part): Generator<string> {
  if (kind !== 'variant' || id === undefined) return;
  for (let stroke = id.lastIndexOf('/'); stroke > 0; stroke = id.lastIndexOf('/', stroke - 1))
    yield id.slice(0, stroke);
}

async function open(outline: Outline, chosen: ReadonlySet<Part> | 'all', lines?: ReadLines): Promise<Version> {
  const book = new Book(lines);
  const taken = new Map<string, Taken>();
  for (const [path, file] of outline.files) {
    const { parts, conflict } = file;
    const indexes: number[] = [];
    for (let index = 0; index < parts.length; index++)
      if (chosen === 'all' || conflict || chosen.has(parts[index]!)) indexes.push(index);
    if (indexes.length === 0) continue;
    const own = indexes.map((index) => parts[index]!);
    book.setFile(uriOf(path), own);
    taken.set(uriOf(path), { file, indexes });
  }
  await openBeside(book, outline.source);
  book.loaded.set(true);
  const { label, commit = null, beside } = outline.source;
  const conflicts = [...outline.files].flatMap(([path, { conflict }]) => (conflict ? [path] : []));
  return { label, commit, book, beside, placeOf: placing(taken), conflicts };
}

/** A file of which the entries with these indexes were taken. */
interface Taken {
  readonly file: OutlineFile;
  readonly indexes: readonly number[];
}

/** Lines are counted when the first place in a file is asked for. */
function placing(taken: ReadonlyMap<string, Taken>): Version['placeOf'] {
  const counted = new Map<string, readonly number[]>();
  const linesIn = (uri: string): readonly number[] => {
    const lines = counted.get(uri) ?? linesOf(taken.get(uri)!.file);
    counted.set(uri, lines);
    return lines;
  };
  const paths = new Map<string, string>();
  const path = (uri: string): string => {
    const found = paths.get(uri) ?? pathOf(uri);
    paths.set(uri, found);
    return found;
  };
  return (cell, offset = headOffset(cell)) => {
    const { uri } = cell.file;
    const index = cell.file.indexOf(cell);
    const from = cell.file.lineOf(Math.max(0, index));
    const within = cell.file.positionOf(Math.max(0, index), offset).line - from;
    const part = taken.get(uri)?.indexes[index];
    return { file: path(uri), line: (part === undefined ? from : linesIn(uri)[part]!) + within + 1 };
  };
}

/** Below the comments that belong to it. */
export const headOffset = ({ entry }: EntryCell): number => entry.head?.from ?? 0;

async function openBeside(book: Book, { beside }: Source): Promise<void> {
  for (const uri of book.importsNamed()) book.setImportedFile(uri, await beside.get(pathOf(uri))?.read());
  const lock = await beside.get(LOCK_NAME)?.read();
  if (lock) putFits(book, readLock(new TextDecoder().decode(lock)));
}
