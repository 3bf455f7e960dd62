/**
 * The formula book: every `.pour` file of a folder, entry by entry, with what is known about each. Names are slots that may be empty, so
 * that a missing name is a read too: when it appears, everything that asked for it is told.
 */
import type { Slice } from '../../grammar/cutter.ts';
import { flatten } from '../../grammar/place.ts';
import type { ReadLines } from '../../grammar/read-lines.ts';
import { type Entry, type Line, lineOf, text, type Value } from '../../grammar/tree.ts';
import { type EntryKind, headRows, type Namespace, namespaceOf } from '../../grammar/words.ts';
import type { EntryCell, Mention, Name } from './cell.ts';
import { Derived, Input } from './facts.ts';
import { BookFile, type Change, type Splice } from './file.ts';
import { MemberIndex } from './members.ts';
import type { Learned } from './optics/learn.ts';

export class Book {
  readonly files = new Map<string, BookFile>();
  private readonly slots = new MemberIndex<Name>();
  private readonly users = new MemberIndex<Name>();
  private readonly kinds = new MemberIndex<EntryKind>();
  private readonly indexed = new Map<EntryCell, Indexed>();
  private likes: MemberIndex<string> | undefined;
  private readonly imports = new Map<string, Input<Uint8Array | undefined>>();
  private readonly whole = new Map<string, Derived<unknown>>();
  /** Place of each file in the order of the book; empty until someone asks. */
  private readonly order = new Map<string, number>();
  /** Names that several entries have or had: only for these the order of files matters. */
  private readonly shared = new Set<Name>();
  /** True once every file is there; before that, what names another file cannot be called missing. */
  readonly loaded = new Input(false);
  /** What was learned of the toners, by side and system: an input, since learning takes longer than a keystroke may. */
  readonly fits = new Input<ReadonlyMap<string, Learned>>(new Map());
  /** Entries whose index was written anew since this was last emptied: the editor and the checks watch them. */
  readonly onIndexed = new Set<(cell: EntryCell, gone: boolean) => void>();

  /** @param known lines that were read of another version of the book. */
  constructor(private readonly known?: ReadLines) {}

  /** Puts a file in, as a text or cut already, or replaces its text (by the smallest change of entries). */
  setFile(uri: string, text: string | readonly Slice[]): BookFile {
    const file = this.files.get(uri);
    if (file) {
      this.indexAgain(typeof text === 'string' ? file.change({ text }) : file.become(text));
      return file;
    }
    const fresh = new BookFile(uri, text, this.known);
    this.add(fresh);
    return fresh;
  }

  /** Puts in a file of another book as it stands there; what was read of its entries is shared. */
  copyFile({ uri, cells }: BookFile): void {
    this.setFile(
      uri,
      cells.map((cell) => cell.slice),
    );
  }

  private add(file: BookFile): void {
    this.files.set(file.uri, file);
    this.sortFiles();
    for (const cell of file.cells) this.index(cell);
  }

  editFile(uri: string, change: Change): void {
    const file = this.files.get(uri);
    if (file) this.indexAgain(file.change(change));
  }

  private indexAgain(splice: Splice): void {
    for (const cell of splice.removed) this.unindex(cell);
    for (const cell of [...splice.touched, ...splice.added]) this.index(cell);
  }

  removeFile(uri: string): void {
    const file = this.files.get(uri);
    if (!file) return;
    this.files.delete(uri);
    for (const cell of file.cells) this.unindex(cell);
    this.sortFiles();
  }

  /** The entries with this name in the order of the book; the first one counts, more than one is a mistake. */
  named(name: Name): readonly EntryCell[] {
    return this.slots.at(name).inOrder(this.sorted);
  }

  find(space: Namespace, id: string): EntryCell | undefined {
    return this.named(`${space}:${id.normalize('NFC')}`)[0];
  }

  /** Every entry that names this one. */
  usersOf(name: Name): ReadonlySet<EntryCell> {
    return this.users.at(name).get();
  }

  ofKind(kind: EntryKind): ReadonlySet<EntryCell> {
    return this.kinds.at(kind).get();
  }

  /** Names of entries that are this one when capitals do not count, itself among them, sorted. */
  spelledLike(name: Name): readonly Name[] {
    const like = spelling(name);
    const names = () => [...new Set([...this.alike(like)].flatMap((cell) => cell.name ?? []))].sort();
    return this.bookFact(like, names, () => [name], sameNames).get();
  }

  /** Formulas and variants that write this colour code themselves, capitals aside. */
  withCode(code: string): ReadonlySet<EntryCell> {
    return this.alike(colourCode(code));
  }

  /** Only checks ask what is spelled alike, so that is indexed when they first do. */
  private alike(like: string): ReadonlySet<EntryCell> {
    if (!this.likes) {
      this.likes = new MemberIndex();
      for (const [cell, { entry, name }] of this.indexed)
        for (const own of likesOf(entry, name)) this.likes.at(own).add(cell);
    }
    return this.likes.at(like).get();
  }

  /** The `book` entries in the order of the files; the first one counts, more than one is a mistake. */
  shops(): readonly EntryCell[] {
    return this.kinds.at('book').inOrder(this.sorted);
  }

  /** Ids that are defined in a namespace; reading them hangs on every entry of those kinds. */
  *ids(space: Namespace): Generator<string> {
    for (const kind of headRows.keys() as Iterable<EntryKind>) {
      if (namespaceOf(kind) !== space) continue;
      for (const cell of this.ofKind(kind)) {
        const name = this.indexed.get(cell)?.name;
        if (name) yield name.slice(space.length + 1);
      }
    }
  }

  cells(): Iterable<EntryCell> {
    return this.indexed.keys();
  }

  mentionsIn(cell: EntryCell): readonly Mention[] {
    return this.indexed.get(cell)?.mentions ?? [];
  }

  /** The bytes of an open-format file that a reading names; the mains put them in. */
  importedFile(uri: string): Uint8Array | undefined {
    return slotOf(this.imports, uri, undefined).get();
  }

  setImportedFile(uri: string, bytes: Uint8Array | undefined): void {
    slotOf(this.imports, uri, undefined).set(bytes);
  }

  /** Uris of the open-format files that entries of the book name. */
  importsNamed(): Set<string> {
    const uris = new Set<string>();
    for (const kind of ['reading', 'sprayout', 'drawdown'] as const) {
      for (const cell of this.ofKind(kind)) {
        const name = text(lineOf(cell.entry, 'file'), 'file');
        const uri = name === undefined ? undefined : importUri(cell.file.uri, name);
        if (uri) uris.add(uri);
      }
    }
    return uris;
  }

  /** A fact about one entry, computed when first asked for and kept while what it read stays the same. */
  fact<T>(
    topic: string,
    cell: EntryCell,
    compute: () => T,
    onCycle: () => T,
    equal?: (a: T, b: T) => boolean,
  ): Derived<T> {
    let fact = cell.facts.get(topic);
    if (!fact) {
      fact = new Derived(compute, onCycle, equal) as Derived<unknown>;
      cell.facts.set(topic, fact);
    }
    return fact as Derived<T>;
  }

  /** A fact about the whole book. */
  bookFact<T>(topic: string, compute: () => T, onCycle: () => T, equal?: (a: T, b: T) => boolean): Derived<T> {
    let fact = this.whole.get(topic);
    if (!fact) {
      fact = new Derived(compute, onCycle, equal) as Derived<unknown>;
      this.whole.set(topic, fact);
    }
    return fact as Derived<T>;
  }

  private sortFiles(): void {
    this.order.clear();
    for (const name of this.shared) this.slots.at(name).tell();
    this.tellShops();
  }

  /** Of several `book` entries another may have become the first. */
  private tellShops(): void {
    if (this.kinds.at('book').peek().size > 1) this.kinds.at('book').tell();
  }

  private readonly sorted = (cells: EntryCell[]): readonly EntryCell[] => {
    if (cells.length < 2) return cells;
    if (this.order.size === 0) for (const uri of [...this.files.keys()].sort()) this.order.set(uri, this.order.size);
    const place = (cell: EntryCell) => (this.order.get(cell.file.uri) ?? 0) * 1e7 + cell.file.indexOf(cell);
    return cells.sort((a, b) => place(a) - place(b));
  };

  private index(cell: EntryCell): void {
    const { entry } = cell;
    const before = this.indexed.get(cell);
    const name = before?.entry === entry ? before.name : cell.name;
    const slot = name && this.slots.at(name);
    // Two entries of one name may have changed places: whoever asked for the name has to look again.
    if (slot && slot.peek().size > 1) slot.tell();
    if (entry.kind === 'book') this.tellShops();
    if (before?.entry === entry) return;
    const mentions = mentionsOf(entry);
    const now = { entry, name, kind: entry.kind, mentions };
    if (before) this.forget(before, cell, now);
    this.indexed.set(cell, now);
    if (slot) {
      slot.add(cell);
      if (slot.peek().size > 1) this.shared.add(name);
    }
    if (entry.kind) {
      this.kinds.at(entry.kind).add(cell);
      if (before && before.name !== name) this.kinds.at(entry.kind).tell();
    }
    for (const mention of mentions) this.users.at(mention.name).add(cell);
    if (this.likes) for (const like of likesOf(entry, name)) this.likes.at(like).add(cell);
    for (const tell of this.onIndexed) tell(cell, false);
  }

  private unindex(cell: EntryCell): void {
    const before = this.indexed.get(cell);
    if (!before) return;
    this.forget(before, cell, undefined);
    this.indexed.delete(cell);
    cell.drop();
    for (const tell of this.onIndexed) tell(cell, true);
  }

  /** Takes out of the index what no longer holds. */
  private forget(before: Indexed, cell: EntryCell, now: Indexed | undefined): void {
    if (before.name && before.name !== now?.name) this.slots.at(before.name).delete(cell);
    if (before.kind && before.kind !== now?.kind) this.kinds.at(before.kind).delete(cell);
    const mentioned = new Set(now?.mentions.map((mention) => mention.name));
    for (const { name } of before.mentions) if (!mentioned.has(name)) this.users.at(name).delete(cell);
    if (!this.likes) return;
    const still = now ? likesOf(now.entry, now.name) : [];
    for (const like of likesOf(before.entry, before.name)) if (!still.includes(like)) this.likes.at(like).delete(cell);
  }
}

interface Indexed {
  readonly entry: Entry;
  readonly name: Name | undefined;
  readonly kind: EntryKind | undefined;
  readonly mentions: readonly Mention[];
}

const sameNames = (a: readonly Name[], b: readonly Name[]): boolean => a.join('\n') === b.join('\n');
const spelling = (name: Name): string => `name ${name.toLowerCase()}`;
const colourCode = (code: string): string => `code ${code.toLowerCase()}`;

/** Under what an entry is found by its likes. */
function likesOf(entry: Entry, name: Name | undefined): string[] {
  const code = entry.kind === 'formula' || entry.kind === 'variant' ? text(lineOf(entry, 'code'), 'code') : undefined;
  return [...(name ? [spelling(name)] : []), ...(code === undefined ? [] : [colourCode(code)])];
}

function slotOf<T>(slots: Map<string, Input<T>>, key: string, empty: T): Input<T> {
  let input = slots.get(key);
  if (!input) {
    input = new Input(empty);
    slots.set(key, input);
  }
  return input;
}

/** What the lines of an entry name, by the table of words. A variant names its parent by its path. */
export function mentionsOf(entry: Entry): Mention[] {
  const found: Mention[] = [];
  const take = (line: Line) => {
    for (let index = 0; index < line.values.length; index++) {
      const value = line.values[index]!;
      const space = value.type === 'ref' ? refKind(line, value) : undefined;
      if (space) found.push({ name: `${space}:${value.text}`, value });
    }
  };
  if (entry.head) take(entry.head);
  for (const line of entry.lines) take(line);
  const id = entry.kind === 'variant' ? entry.head?.values.find((value) => value.place === 'id') : undefined;
  const parent = id && parentOf(id.text);
  if (id && parent)
    found.push({ name: `formula:${parent}`, value: { ...id, text: parent, to: id.from + parent.length } });
  return found;
}

const refKinds = new WeakMap<object, Map<string, Namespace>>();

function refKind(line: Line, value: Value): Namespace | undefined {
  if (!line.row) return undefined;
  let kinds = refKinds.get(line.row);
  if (!kinds) {
    kinds = new Map();
    for (const place of flatten(line.row.places)) {
      if (place.is === 'value' && place.type === 'ref') kinds.set(place.name, place.args[0] as Namespace);
    }
    refKinds.set(line.row, kinds);
  }
  return kinds.get(value.place);
}

/** The path of a variant's parent: `SAM-31/dark` has `SAM-31`. */
export function parentOf(id: string): string | undefined {
  const stroke = id.lastIndexOf('/');
  return stroke < 0 ? undefined : id.slice(0, stroke);
}

/** The uri of a file named beside a file of the book. Absolute paths, other schemes and ways up (`..`) are refused. */
export function importUri(bookUri: string, name: string): string | undefined {
  if (!/^[^\\:*?"<>|]+$/.test(name) || name.startsWith('/') || name.split('/').includes('..')) return undefined;
  return bookUri.slice(0, bookUri.lastIndexOf('/') + 1) + name.split('/').map(encodeURIComponent).join('/');
}
