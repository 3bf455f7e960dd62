/**
 * The earlier version of each book that the editor compares with, mostly the last commit. Git is the editor's: it hands over only the files
 * that differ from that version, and those that are open; all others are in it as they lie on the disk, and share what was read of them.
 */
import { NotificationType } from 'vscode-languageserver';
import { Book } from '../book/book.ts';
import type { EntryCell } from '../book/cell.ts';
import { decodeBook } from '../book/decode.ts';
import { settledHiding } from '../book/optics/hiding.ts';
import { LOCK_NAME, readLock } from '../book/optics/lock.ts';
import { fitName } from '../book/optics/optics.ts';
import { Since } from '../review/since.ts';
import { headOffset, type Version } from '../review/versions.ts';
import type { Ports } from './ports.ts';
import { normalUri } from './uri.ts';
import { folderUri, type Shelf, SLICE, type Workspace } from './workspace.ts';

export interface GivenFile {
  readonly uri: string;
  /** Nothing where the version does not have the file. */
  readonly base64: string | null;
}

/** A version of a book, told by its difference from the files on the disk. */
export interface GivenVersion {
  /** How a person calls it: `HEAD`, a branch. */
  readonly label: string;
  readonly commit: string | null;
  readonly files: readonly GivenFile[];
}

/** `pourbook/base`: what a folder's book is compared with; nothing where no earlier version can be had. */
export const baseNotification = new NotificationType<{ folder: string; version: GivenVersion | null }>('pourbook/base');

/** `pourbook/reviewMoved`: what the review of a folder says may be another now, though no text was edited. */
export const movedNotification = new NotificationType<{ folder: string }>('pourbook/reviewMoved');

export const NOW = 'the files as they are';

export class Bases {
  private readonly all = new Map<Shelf, Base>();
  /** Versions of books that are still being read. */
  private readonly early = new Map<string, GivenVersion>();

  constructor(
    private readonly workspace: Workspace,
    private readonly ports: Ports,
    private readonly onMoved: (folder: string) => void,
  ) {}

  async give(folder: string, version: GivenVersion | null): Promise<void> {
    const uri = folderUri(folder);
    const shelf = this.workspace.folder(folder);
    this.early.delete(uri);
    if (!version) {
      if (shelf) this.forget(shelf);
    } else if (shelf?.book.loaded.peek()) await this.renew(shelf, version);
    else this.early.set(uri, version);
  }

  /** A folder was read to its end. */
  async loaded(shelf: Shelf): Promise<void> {
    const version = this.early.get(shelf.folder);
    this.early.delete(shelf.folder);
    if (version) await this.renew(shelf, version);
  }

  of(shelf: Shelf): Base | undefined {
    return this.all.get(shelf);
  }

  /** Toners were learned. */
  learned(): void {
    for (const shelf of this.all.keys()) this.onMoved(shelf.folder);
  }

  filesChanged(uris: readonly string[]): void {
    for (const base of this.all.values()) base.filesChanged(uris.map(normalUri));
  }

  forget(shelf: Shelf): void {
    const base = this.all.get(shelf);
    if (!base) return;
    base.end();
    this.all.delete(shelf);
    this.onMoved(shelf.folder);
  }

  private async renew(shelf: Shelf, version: GivenVersion): Promise<void> {
    const base = this.all.get(shelf) ?? new Base(shelf, this.workspace, this.ports);
    this.all.set(shelf, base);
    if (await base.give(version)) this.onMoved(shelf.folder);
  }
}

export class Base {
  private readonly book = new Book();
  private readonly given = new Map<string, string | null>();
  private readonly lockUri: string;
  private version: Pick<GivenVersion, 'label' | 'commit'> | undefined;
  private made: Since | undefined;
  private work: Promise<unknown> = Promise.resolve();
  /** Files whose text may be another than when they were last taken over; at first all. */
  private readonly stale: Set<string>;
  /** Nothing differs yet, so the earlier book need not be made. */
  private quiet = true;

  constructor(
    private readonly shelf: Shelf,
    private readonly workspace: Workspace,
    private readonly ports: Ports,
  ) {
    this.lockUri = `${shelf.folder}${LOCK_NAME}`;
    this.stale = new Set(shelf.book.files.keys());
    shelf.book.onIndexed.add(this.indexed);
  }

  get label(): string {
    return this.version?.label ?? '';
  }

  get commit(): string | null {
    return this.version?.commit ?? null;
  }

  end(): void {
    this.shelf.book.onIndexed.delete(this.indexed);
    this.made?.end();
    this.made = undefined;
  }

  private readonly indexed = ({ file: { uri } }: EntryCell): void => {
    // What was given stays as it is, whatever is typed.
    if (!this.given.has(uri)) this.stale.add(uri);
    if (this.workspace.opened(uri)) this.quiet = false;
  };

  filesChanged(uris: readonly string[]): void {
    for (const uri of uris) if (!this.given.has(uri)) this.stale.add(uri);
  }

  /** Returns whether anything is another than before. */
  async give({ label, commit, files }: GivenVersion): Promise<boolean> {
    const now = new Map(files.map(({ uri, base64 }) => [normalUri(uri), base64]));
    const changed = [...new Set([...this.given.keys(), ...now.keys()])].filter(
      (uri) => this.given.get(uri) !== now.get(uri),
    );
    const other = this.version?.label !== label || this.version.commit !== commit;
    if (changed.length === 0 && !other) return false;
    this.given.clear();
    for (const [uri, base64] of now) this.given.set(uri, base64);
    for (const uri of changed) this.stale.add(uri);
    if (other) {
      this.made?.end();
      this.made = undefined;
    }
    this.version = { label, commit };
    this.quiet &&= [...now].every(([uri, base64]) => this.isAsNow(uri, base64));
    return true;
  }

  private isAsNow(uri: string, base64: string | null): boolean {
    return base64 !== null && this.shelf.book.files.get(uri)?.text === decodeBook(bytesOf(base64));
  }

  /** What the book has become since this version. Asked for one after the other, so that a book is taken over once. */
  since(): Promise<Since | undefined> {
    const next = this.work.then(() => this.upToDate());
    this.work = next.catch(() => undefined);
    return next;
  }

  private async upToDate(): Promise<Since | undefined> {
    if (!this.version || (this.quiet && !this.made)) return undefined;
    await this.takeOver();
    const { label, commit } = this.version;
    this.made ??= new Since(
      versionOf(this.shelf, label, commit, this.book),
      versionOf(this.shelf, NOW, null, this.shelf.book),
    );
    this.made.filesDiffer([...this.given.keys()].filter(isBeside));
    return this.made;
  }

  private async takeOver(): Promise<void> {
    if (this.given.get(this.lockUri) === undefined) this.book.fits.set(this.shelf.book.fits.peek());
    if (this.stale.size === 0) return;
    let since = performance.now();
    for (const uri of this.stale) {
      this.stale.delete(uri);
      if (uri === this.lockUri) this.takeLock();
      else if (isBeside(uri)) this.takeBeside(uri);
      else this.takeFile(uri);
      if (performance.now() - since < SLICE) continue;
      await this.ports.pause();
      since = performance.now();
    }
    for (const uri of this.book.importsNamed())
      if (this.book.importedFile(uri) === undefined) await this.readBeside(uri);
    this.book.loaded.set(true);
  }

  private takeFile(uri: string): void {
    const given = this.given.get(uri);
    const file = this.shelf.book.files.get(uri);
    if (typeof given === 'string') this.book.setFile(uri, decodeBook(bytesOf(given)));
    else if (given === null || !file) this.book.removeFile(uri);
    // Until the editor says what an open file was, it stays as it was taken over: what is typed is no part of the version.
    else if (!this.workspace.opened(uri) || !this.book.files.has(uri)) this.book.copyFile(file);
  }

  private takeLock(): void {
    const given = this.given.get(this.lockUri);
    const fits = given ? readLock(decodeBook(bytesOf(given))) : [];
    if (given !== undefined) this.book.fits.set(new Map(fits.map((fit) => [fitName(fit), fit])));
  }

  private takeBeside(uri: string): void {
    const given = this.given.get(uri);
    if (given === undefined) this.book.setImportedFile(uri, this.shelf.book.importedFile(uri));
    else this.book.setImportedFile(uri, given === null ? undefined : bytesOf(given));
  }

  private async readBeside(uri: string): Promise<void> {
    if (this.given.has(uri)) return;
    this.book.setImportedFile(uri, this.shelf.book.importedFile(uri) ?? (await this.ports.readFile(uri)));
  }
}

export const bytesOf = (base64: string): Uint8Array => Uint8Array.from(atob(base64), (one) => one.charCodeAt(0));

const isBeside = (uri: string): boolean => !uri.endsWith('.pour');

export const pathBelow = ({ folder }: Shelf, uri: string): string =>
  (uri.startsWith(folder) ? uri.slice(folder.length) : uri).split('/').map(decodeURIComponent).join('/');

const versionOf = (shelf: Shelf, label: string, commit: string | null, book: Book): Version => ({
  label,
  commit,
  book,
  beside: new Map(),
  hidingOf: (_book, cell) => settledHiding(cell) ?? { none: 'it is being worked out' },
  placeOf: (cell, offset = headOffset(cell)) => ({
    file: pathBelow(shelf, cell.file.uri),
    line: cell.file.positionOf(Math.max(0, cell.file.indexOf(cell)), offset).line + 1,
  }),
});
