/**
 * A book that is being edited against an earlier version of it. Which entries differ is kept up to date entry by entry, and what a change
 * does to a formula is a fact that reads both books, so that a key costs what it changes and not the size of the book or of the change.
 */
import { linesOf, text } from '../../grammar/tree.ts';
import { type Book, importUri } from '../book/book.ts';
import type { EntryCell, Name } from '../book/cell.ts';
import { Derived, untracked } from '../book/facts.ts';
import { settleHiding } from '../book/optics/hiding.ts';
import { type Changed, changesAmong, type EntryChange, keyOf } from './changes.ts';
import { type FormulaReview, type Pairing, reviewFormula } from './formula.ts';
import { changesByName, type NamedChanges, pairingOf } from './pairing.ts';
import { modelOf, type Review, review } from './review.ts';
import { hasUnread, type Unread, unreadLines } from './unread.ts';
import type { Version, Versions } from './versions.ts';

interface Kept {
  readonly pairing: string;
  readonly before: EntryCell | undefined;
  readonly fact: Derived<FormulaReview>;
}

export class Since {
  readonly versions: Versions;
  /** Names under which something was written since they were last compared. */
  private readonly doubtful = new Set<string>();
  private readonly keys = new WeakMap<EntryCell, string>();
  private readonly old = new Map<string, EntryCell>();
  private readonly now = new Map<string, EntryCell>();
  private known: { readonly changes: readonly EntryChange[]; readonly named: NamedChanges } | undefined;
  private readonly reviews = new Map<EntryCell, Kept>();
  private otherFiles: ReadonlySet<string> = new Set();
  /** Entries of the edited book with lines of an open merge conflict. */
  private readonly inConflict = new Set<EntryCell>();
  /** Entries with lines that cannot be read. */
  private readonly unreadNow = new Set<EntryCell>();
  private readonly unreadBefore = new Set<EntryCell>();
  /** Every line above a formula asks for these; an edit anywhere may move them to other lines. */
  private unreadKnown: Unread | undefined;

  /** Both books may change from now on. */
  constructor(before: Version, after: Version) {
    this.versions = { before, after };
    for (const { book } of [before, after]) {
      for (const cell of book.cells()) this.written(cell);
      book.onIndexed.add(this.indexed);
    }
  }

  end(): void {
    for (const { book } of [this.versions.before, this.versions.after]) book.onIndexed.delete(this.indexed);
    for (const { fact } of this.reviews.values()) fact.drop();
    this.reviews.clear();
  }

  /** Open-format files, by uri, that say something else in the two versions. */
  filesDiffer(uris: readonly string[]): void {
    if (uris.length === this.otherFiles.size && uris.every((uri) => this.otherFiles.has(uri))) return;
    this.otherFiles = new Set(uris);
    this.known = undefined;
    this.unreadKnown = undefined;
  }

  /** Everything that differs, as a review of two versions tells it. */
  all(): Review {
    const { before, after } = this.versions;
    const conflicts = [...new Set([...this.inConflict].map((cell) => after.placeOf(cell).file))].sort();
    const kept = { changes: this.changes(), unread: this.unread(), formula: this.reviewed };
    return review({ before, after: { ...after, conflicts } }, [], kept);
  }

  /** What became of a formula as it stands in the edited book; nothing where no change reaches it. */
  formula(cell: EntryCell): FormulaReview | undefined {
    const model = modelOf(this.versions);
    if (!cell.name || (this.changes().length === 0 && model !== 'moved')) return undefined;
    const pairing = pairingOf(this.versions, idOf(cell.name), this.named(), model, this.unread());
    if (pairing?.after !== cell) return undefined;
    const told = pairing.because.length > 0 || pairing.unread.length > 0 || model === 'moved';
    if (!told) return undefined;
    return this.reviewed(pairing);
  }

  /** The same entry in the earlier version, under whatever name; nothing where it is new. */
  earlier(cell: EntryCell): EntryCell | undefined {
    const key = keyOf(cell);
    if (key === undefined) return undefined;
    const change = this.named().byName.get(key);
    if (change) return 'before' in change ? change.before : undefined;
    return firstOf(this.versions.before.book, key);
  }

  /**
   * Works out how soon the paints hide that were reviewed so far, which takes too long for a key to wait for. Returns whether that says
   * something else than before; stops early when it is not `wanted` any more.
   */
  async settle(pause: () => Promise<void>, wanted: () => boolean): Promise<boolean> {
    let moved = false;
    for (const [cell, { before }] of [...this.reviews]) {
      if (!wanted()) break;
      if (before) moved = settleHiding(this.versions.before.book, before) || moved;
      if (cell !== before) moved = settleHiding(this.versions.after.book, cell) || moved;
      await pause();
    }
    return moved;
  }

  private named(): NamedChanges {
    this.changes();
    return this.known!.named;
  }

  private unread(): Unread {
    const changes = this.changes();
    this.unreadKnown ??= unreadLines(this.unreadBefore, this.versions.after, this.unreadNow, changes);
    return this.unreadKnown;
  }

  private changes(): readonly EntryChange[] {
    for (const key of this.doubtful) if (this.compare(key)) this.known = undefined;
    this.doubtful.clear();
    if (!this.known) {
      const changes = [...changesAmong(this.versions.before.book, this.old, this.now), ...this.importChanges()];
      this.known = { changes, named: changesByName(changes) };
    }
    return this.known.changes;
  }

  /** Returns whether what differs may be another. */
  private compare(key: string): boolean {
    const [before, after] = [firstOf(this.versions.before.book, key), firstOf(this.versions.after.book, key)];
    const differed = this.old.delete(key);
    const differs = this.now.delete(key) || differed;
    if (before?.slice.text === after?.slice.text) return differs;
    if (before) this.old.set(key, before);
    if (after) this.now.set(key, after);
    return true;
  }

  private importChanges(): Changed[] {
    if (this.otherFiles.size === 0) return [];
    const { before, after } = this.versions;
    return MEASURED.flatMap((kind) => [...after.book.ofKind(kind)]).flatMap((cell): Changed[] => {
      const name = text(linesOf(cell.entry, 'file')[0], 'file');
      const uri = name === undefined ? undefined : importUri(cell.file.uri, name);
      const other = cell.name && before.book.named(cell.name)[0];
      if (!uri || !other || !cell.name || !this.otherFiles.has(uri)) return [];
      return [{ is: 'changed', name: cell.name, from: cell.name, before: other, after: cell, words: ['file'] }];
    });
  }

  private readonly reviewed = (pairing: Pairing): FormulaReview => {
    const cell = (pairing.after ?? pairing.before)!;
    const { before: old, after, ...rest } = pairing;
    const said = JSON.stringify(rest);
    let kept = this.reviews.get(cell);
    if (kept?.pairing !== said || kept.before !== old) {
      kept?.fact.drop();
      kept = { pairing: said, before: old, fact: this.factOf(pairing) };
      this.reviews.set(cell, kept);
    }
    const { before: was, after: is } = this.versions;
    return { ...kept.fact.get(), place: after ? is.placeOf(after) : was.placeOf(cell) };
  };

  private factOf(pairing: Pairing): Derived<FormulaReview> {
    const compute = () => {
      const { before, after } = this.versions;
      // Asked for, since the review itself only looks whether there are any.
      before.book.fits.get();
      after.book.fits.get();
      return reviewFormula(this.versions, pairing, null);
    };
    return new Derived(compute, () => untracked(compute));
  }

  private readonly indexed = (cell: EntryCell, gone: boolean): void => {
    this.unreadKnown = undefined;
    if (!gone) {
      this.written(cell);
      return;
    }
    const key = this.keys.get(cell);
    if (key !== undefined) this.doubtful.add(key);
    this.reviews.get(cell)?.fact.drop();
    this.reviews.delete(cell);
    for (const kept of [this.inConflict, this.unreadNow, this.unreadBefore]) kept.delete(cell);
  };

  private written(cell: EntryCell): void {
    const [was, is] = [this.keys.get(cell), keyOf(cell)];
    for (const key of [was, is]) if (key !== undefined) this.doubtful.add(key);
    if (is === undefined) this.keys.delete(cell);
    else this.keys.set(cell, is);
    const edited = this.versions.after.book.files.get(cell.file.uri) === cell.file;
    put(this.inConflict, cell, edited && cell.entry.conflicts.length > 0);
    put(edited ? this.unreadNow : this.unreadBefore, cell, hasUnread(cell));
  }
}

function put<T>(set: Set<T>, one: T, is: boolean): void {
  if (is) set.add(one);
  else set.delete(one);
}

const MEASURED = ['reading', 'sprayout', 'drawdown'] as const;

const idOf = (name: Name): string => name.slice(name.indexOf(':') + 1);

const firstOf = (book: Book, key: string): EntryCell | undefined =>
  key === 'book:' ? book.shops()[0] : book.named(key as Name)[0];
