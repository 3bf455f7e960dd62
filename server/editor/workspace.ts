/** The books of the workspace: one for each folder, and one for files that lie in none. What the editor has open counts before the disk. */
import { Book } from '../book/book.ts';
import type { EntryCell } from '../book/cell.ts';
import { decodeBook } from '../book/decode.ts';
import type { Derived } from '../book/facts.ts';
import { Queue } from '../book/facts.ts';
import type { BookFile, Change } from '../book/file.ts';
import { findingsFact } from '../book/findings.ts';
import type { Ports } from './ports.ts';
import { normalUri } from './uri.ts';

export interface Shelf {
  /** Uri of the folder, with a stroke at its end; empty for files without a folder. */
  readonly folder: string;
  readonly book: Book;
  /** Findings that may have changed since the editor was told. */
  readonly doubtful: Queue;
}

export interface OpenFile {
  readonly shelf: Shelf;
  readonly file: BookFile;
  version: number;
}

export class Workspace {
  private readonly shelves: Shelf[] = [];
  private readonly open = new Map<string, OpenFile>();
  private readonly cellOf = new WeakMap<Derived<unknown>, EntryCell>();

  constructor(private readonly ports: Ports) {}

  addFolder(uri: string): Shelf {
    const folder = normalUri(uri).replace(/\/?$/, '/');
    const known = this.shelves.find((shelf) => shelf.folder === folder);
    if (known) return known;
    const shelf = this.newShelf(folder);
    // The deepest folder owns a file, so deeper ones are asked first.
    this.shelves.push(shelf);
    this.shelves.sort((a, b) => b.folder.length - a.folder.length);
    return shelf;
  }

  removeFolder(uri: string): string[] {
    const folder = normalUri(uri).replace(/\/?$/, '/');
    const index = this.shelves.findIndex((shelf) => shelf.folder === folder);
    if (index < 0) return [];
    const [gone] = this.shelves.splice(index, 1);
    return [...gone!.book.files.keys()];
  }

  private newShelf(folder: string): Shelf {
    const book = new Book();
    const doubtful = new Queue();
    book.onIndexed.add((cell, gone) => {
      const fact = findingsFact(book, cell);
      if (gone) return fact.drop();
      this.cellOf.set(fact as Derived<unknown>, cell);
      fact.watch(doubtful);
    });
    return { folder, book, doubtful };
  }

  shelfOf(uri: string): Shelf {
    const normal = normalUri(uri);
    const known = this.shelves.find((shelf) => normal.startsWith(shelf.folder));
    if (known) return known;
    const loose = this.newShelf('');
    loose.book.loaded.set(true);
    this.shelves.push(loose);
    return loose;
  }

  allShelves(): readonly Shelf[] {
    return this.shelves;
  }

  /** The file that a request is about, open or not. */
  at(uri: string): { shelf: Shelf; file: BookFile } | undefined {
    const normal = normalUri(uri);
    const opened = this.open.get(normal);
    if (opened) return opened;
    const shelf = this.shelves.find((one) => one.book.files.has(normal));
    return shelf && { shelf, file: shelf.book.files.get(normal)! };
  }

  opened(uri: string): OpenFile | undefined {
    return this.open.get(normalUri(uri));
  }

  openFile(uri: string, version: number, text: string): Shelf {
    const normal = normalUri(uri);
    const shelf = this.shelfOf(normal);
    const file = shelf.book.setFile(normal, text);
    this.open.set(normal, { shelf, file, version });
    return shelf;
  }

  edit(uri: string, version: number, changes: readonly Change[]): Shelf | undefined {
    const opened = this.open.get(normalUri(uri));
    if (!opened) return undefined;
    for (const change of changes) opened.shelf.book.editFile(opened.file.uri, change);
    opened.version = version;
    return opened.shelf;
  }

  /** Gives the file back to the disk. */
  async closeFile(uri: string): Promise<Shelf | undefined> {
    const normal = normalUri(uri);
    const opened = this.open.get(normal);
    if (!opened) return undefined;
    this.open.delete(normal);
    await this.readAgain(opened.shelf, normal);
    return opened.shelf;
  }

  /** A file was changed, made or deleted outside the editor. */
  async fileChanged(uri: string): Promise<Shelf | undefined> {
    const normal = normalUri(uri);
    if (this.open.has(normal)) return undefined;
    const shelf = this.shelfOf(normal);
    if (normal.endsWith('.pour')) await this.readAgain(shelf, normal);
    else
      for (const one of this.shelves)
        if (one.book.importsNamed().has(normal)) one.book.setImportedFile(normal, await this.ports.readFile(normal));
    return shelf;
  }

  private async readAgain(shelf: Shelf, uri: string): Promise<void> {
    const bytes = shelf.folder === '' ? undefined : await this.ports.readFile(uri);
    if (this.open.has(uri)) return;
    if (bytes === undefined) shelf.book.removeFile(uri);
    else shelf.book.setFile(uri, decodeBook(bytes));
    await this.loadImports(shelf);
  }

  /** Reads the folder's files; what is open stays as it is in the editor. */
  async load(shelf: Shelf): Promise<void> {
    let since = Date.now();
    for (const uri of await this.ports.listFiles(shelf.folder)) {
      const normal = normalUri(uri);
      if (this.open.has(normal) || this.shelfOf(normal) !== shelf) continue;
      const bytes = await this.ports.readFile(normal);
      if (bytes && !this.open.has(normal)) shelf.book.setFile(normal, decodeBook(bytes));
      if (Date.now() - since > 20) {
        await this.ports.pause();
        since = Date.now();
      }
    }
    await this.loadImports(shelf);
    shelf.book.loaded.set(true);
  }

  async loadImports(shelf: Shelf): Promise<void> {
    for (const uri of shelf.book.importsNamed()) {
      if (shelf.book.importedFile(uri) === undefined) shelf.book.setImportedFile(uri, await this.ports.readFile(uri));
    }
  }

  /** The files whose findings may have changed since the last call, with the given file first. */
  *doubtfulFiles(shelf: Shelf): Generator<string> {
    const seen = new Set<string>();
    for (const fact of shelf.doubtful.take()) {
      const cell = this.cellOf.get(fact);
      if (!cell || seen.has(cell.file.uri)) continue;
      seen.add(cell.file.uri);
      yield cell.file.uri;
    }
  }
}
