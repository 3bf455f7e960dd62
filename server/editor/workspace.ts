/** The books of the workspace: one for each folder, and one for files that lie in none. What the editor has open counts before the disk. */

import { lineOf, text } from '../../grammar/tree.ts';
import { Book, importUri } from '../book/book.ts';
import type { EntryCell } from '../book/cell.ts';
import { decodeBook, LARGEST } from '../book/decode.ts';
import type { BookFile, Change } from '../book/file.ts';
import { liesInBook } from '../book/folders.ts';
import type { Ports } from './ports.ts';
import { FileProblems } from './problems.ts';
import { normalUri } from './uri.ts';

export interface Shelf {
  /** Uri of the folder, with a stroke at its end; empty for files without a folder. */
  readonly folder: string;
  readonly book: Book;
  readonly problems: Map<string, FileProblems>;
}

export interface OpenFile {
  /** As the editor spells it. */
  readonly uri: string;
  readonly shelf: Shelf;
  readonly file: BookFile;
  readonly version: number;
}

/** How long the server works before it lets other messages through. */
export const SLICE = 15; // ms

export class Workspace {
  private shelves: Shelf[] = [];
  private readonly open = new Map<string, OpenFile>();
  /** Files whose problems may have changed since they were last told. */
  private readonly unsettled = new Set<FileProblems>();
  /** Open-format files that entries name and that were not read yet. */
  private readonly wanted = new Map<string, Shelf>();
  /** Who points into a file, so that its edits move what others say of it. */
  private readonly pointing = new Map<string, Set<FileProblems>>();
  /** Where the editor opens what the manual says of a finding. */
  pageOf: (code: string) => string | undefined = () => undefined;

  constructor(private readonly ports: Ports) {}

  allShelves(): readonly Shelf[] {
    return this.shelves;
  }

  /** A folder of its own book. It takes over what an outer folder had of it. */
  addFolder(uri: string): Shelf {
    const folder = folderUri(uri);
    const known = this.shelves.find((shelf) => shelf.folder === folder);
    if (known) return known;
    const shelf = this.newShelf(folder);
    // The deepest folder owns a file, so deeper ones are asked first.
    this.shelves = [...this.shelves, shelf].sort((a, b) => b.folder.length - a.folder.length);
    for (const outer of this.shelves) {
      if (outer === shelf || !folder.startsWith(outer.folder)) continue;
      for (const file of [...outer.book.files.keys()].filter((one) => one.startsWith(folder))) this.drop(outer, file);
    }
    this.rehome();
    return shelf;
  }

  /** Returns the files that no book has any more, and the outer folder that has to read the others. */
  removeFolder(uri: string): { gone: string[]; outer: Shelf | undefined } {
    const shelf = this.shelves.find((one) => one.folder === folderUri(uri));
    if (!shelf) return { gone: [], outer: undefined };
    const files = [...shelf.book.files.keys()];
    for (const file of files) this.drop(shelf, file);
    this.shelves = this.shelves.filter((one) => one !== shelf);
    this.rehome();
    return {
      gone: files.filter((file) => !this.at(file)),
      outer: this.shelves.find((one) => one.folder !== '' && shelf.folder.startsWith(one.folder)),
    };
  }

  /** Puts open files on the shelf that they belong to since the folders changed. */
  private rehome(): void {
    for (const opened of [...this.open.values()]) {
      const normal = normalUri(opened.uri);
      const shelf = this.shelfOf(normal);
      if (shelf === opened.shelf && shelf.book.files.get(normal) === opened.file) continue;
      const { text: written } = opened.file;
      this.drop(opened.shelf, normal);
      this.open.set(normal, { ...opened, shelf, file: shelf.book.setFile(normal, written) });
    }
  }

  /** The shelf of a folder of the workspace. */
  folder(uri: string): Shelf | undefined {
    return this.shelves.find((shelf) => shelf.folder === folderUri(uri));
  }

  private newShelf(folder: string): Shelf {
    const book = new Book();
    const shelf: Shelf = { folder, book, problems: new Map() };
    book.onIndexed.add((cell, gone) => {
      const problems = this.problemsOf(shelf, cell.file);
      if (gone) return problems.forget(cell);
      problems.watch(cell);
      this.wantImport(shelf, cell);
    });
    return shelf;
  }

  private problemsOf(shelf: Shelf, file: BookFile): FileProblems {
    let problems = shelf.problems.get(file.uri);
    if (problems?.file !== file) {
      problems = new FileProblems(shelf.book, file, this.pageOf, (one) => this.unsettled.add(one));
      shelf.problems.set(file.uri, problems);
      this.unsettled.add(problems);
    }
    return problems;
  }

  /** A shelf for files that lie in no folder is made when the first of them is opened. */
  shelfOf(uri: string): Shelf {
    const normal = normalUri(uri);
    const known = this.shelves.find((shelf) => normal.startsWith(shelf.folder));
    if (known) return known;
    const loose = this.newShelf('');
    loose.book.loaded.set(true);
    this.shelves.push(loose);
    return loose;
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

  /** The uri as the editor spells it, where it has the file open. */
  spelled(uri: string): string {
    return this.open.get(uri)?.uri ?? uri;
  }

  problems(uri: string): FileProblems | undefined {
    const found = this.at(uri);
    return found && this.problemsOf(found.shelf, found.file);
  }

  openFile(uri: string, version: number, written: string): OpenFile {
    const normal = normalUri(uri);
    const shelf = this.shelfOf(normal);
    const opened = { uri, shelf, file: shelf.book.setFile(normal, written), version };
    this.open.set(normal, opened);
    this.moved(shelf, opened.file);
    return opened;
  }

  /** Returns the open file and the entry in which the last change lies. */
  edit(
    uri: string,
    version: number,
    changes: readonly Change[],
  ): { file: OpenFile; cell: EntryCell | undefined } | undefined {
    const opened = this.open.get(normalUri(uri));
    if (!opened) return undefined;
    const { shelf, file } = opened;
    for (const change of changes) shelf.book.editFile(file.uri, change);
    const now = { ...opened, version };
    this.open.set(file.uri, now);
    this.moved(shelf, file);
    const line = changes.at(-1)?.range?.start.line;
    return { file: now, cell: line === undefined ? undefined : file.cells[file.indexAtLine(line)] };
  }

  private moved(shelf: Shelf, file: BookFile): void {
    this.problemsOf(shelf, file).moved();
    for (const other of this.pointing.get(file.uri) ?? []) other.moved();
    this.pointing.delete(file.uri);
  }

  /** To be called when a report was made: remembers into which files it points. */
  pointsOut(problems: FileProblems): void {
    for (const uri of problems.relatedFiles) {
      const others = this.pointing.get(uri) ?? new Set();
      this.pointing.set(uri, others.add(problems));
    }
  }

  /** Gives the file back to the disk. Returns whether a book still has it. */
  async closeFile(uri: string): Promise<boolean> {
    const normal = normalUri(uri);
    const opened = this.open.get(normal);
    if (!opened) return this.at(normal) !== undefined;
    this.open.delete(normal);
    await this.readAgain(opened.shelf, normal);
    return this.at(normal) !== undefined;
  }

  /** Files were changed, made or deleted outside the editor. Returns the files that are gone. */
  async filesChanged(uris: readonly string[]): Promise<string[]> {
    const gone: string[] = [];
    const unknown = new Set<Shelf>();
    for (const normal of uris.map(normalUri)) {
      const shelf = this.shelves.find((one) => one.folder !== '' && normal.startsWith(one.folder));
      if (this.open.has(normal)) continue;
      if (shelf?.book.files.has(normal)) {
        await this.readAgain(shelf, normal);
        if (!this.at(normal)) gone.push(normal);
      } else if (await this.importChanged(normal)) continue;
      else if (shelf && /(\.pour|\/[^./]+\/?)$/.test(normal)) unknown.add(shelf);
    }
    // A new file, or a folder that came or went: the folder says what belongs to the book now, exclusions counted.
    for (const shelf of unknown) gone.push(...(await this.load(shelf)));
    return gone;
  }

  private async importChanged(uri: string): Promise<boolean> {
    const naming = this.shelves.filter((one) => one.book.importsNamed().has(uri));
    if (naming.length === 0) return false;
    const bytes = await this.ports.readFile(uri);
    for (const one of naming) one.book.setImportedFile(uri, bytes);
    return true;
  }

  private async readAgain(shelf: Shelf, uri: string): Promise<void> {
    const bytes = shelf.folder === '' ? undefined : await this.ports.readFile(uri);
    if (this.open.has(uri) || !this.shelves.includes(shelf)) return;
    if (bytes === undefined || bytes.length > LARGEST) this.drop(shelf, uri);
    else {
      const file = shelf.book.setFile(uri, decodeBook(bytes));
      this.moved(shelf, file);
    }
  }

  private drop(shelf: Shelf, uri: string): void {
    shelf.book.removeFile(uri);
    const problems = shelf.problems.get(uri);
    if (problems) this.unsettled.delete(problems);
    shelf.problems.delete(uri);
    for (const other of this.pointing.get(uri) ?? []) other.moved();
    this.pointing.delete(uri);
  }

  /**
   * Reads the folder's files; what is open stays as it is in the editor. What is not in the folder any more goes.
   * Returns the files that are gone.
   */
  async load(shelf: Shelf): Promise<string[]> {
    const found = (await this.ports.listFiles(shelf.folder)).map(normalUri);
    const listed = new Set(found.filter((uri) => liesInBook(uri, shelf.folder)));
    let since = performance.now();
    for (const uri of listed) {
      if (shelf.book.files.has(uri) || this.shelfOf(uri) !== shelf) continue;
      const bytes = await this.ports.readFile(uri);
      if (!this.shelves.includes(shelf)) return [];
      if (bytes && bytes.length <= LARGEST && !this.open.has(uri)) shelf.book.setFile(uri, decodeBook(bytes));
      if (performance.now() - since > SLICE) {
        await this.ports.pause();
        since = performance.now();
      }
    }
    const gone = [...shelf.book.files.keys()].filter((uri) => !listed.has(uri) && !this.open.has(uri));
    for (const uri of gone) this.drop(shelf, uri);
    await this.readImports();
    shelf.book.loaded.set(true);
    return gone;
  }

  private wantImport(shelf: Shelf, cell: EntryCell): void {
    const { kind } = cell.entry;
    if (kind !== 'reading' && kind !== 'sprayout' && kind !== 'drawdown') return;
    const name = text(lineOf(cell.entry, 'file'), 'file');
    const uri = name === undefined ? undefined : importUri(cell.file.uri, name);
    if (uri && shelf.book.importedFile(uri) === undefined) this.wanted.set(uri, shelf);
  }

  /** Reads the open-format files that entries name, until no other one is asked for. */
  async readImports(): Promise<void> {
    for (const [uri, shelf] of this.wanted) {
      this.wanted.delete(uri);
      if (shelf.folder !== '') shelf.book.setImportedFile(uri, await this.ports.readFile(uri));
    }
  }

  /** A file whose problems may have changed, open files first. Until a folder is read, only its open files are looked at. */
  nextUnsettled(): FileProblems | undefined {
    for (const { shelf, file } of this.open.values()) {
      const problems = shelf.problems.get(file.uri);
      if (problems && this.unsettled.has(problems)) return problems;
    }
    for (const problems of this.unsettled) {
      const shelf = this.at(problems.file.uri)?.shelf;
      if (shelf?.problems.get(problems.file.uri) !== problems) this.unsettled.delete(problems);
      else if (shelf.book.loaded.peek()) return problems;
    }
    return undefined;
  }

  settled(problems: FileProblems): void {
    this.unsettled.delete(problems);
  }
}

export const folderUri = (uri: string): string => normalUri(uri).replace(/\/?$/, '/');
