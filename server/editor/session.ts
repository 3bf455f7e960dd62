/** One editor's session with the server: its books, what is computed beside the typing, and how a request is handled safely. */
import {
  CancellationToken,
  CodeLensRefreshRequest,
  type Connection,
  type Location,
  ResponseError,
} from 'vscode-languageserver';
import type { Book } from '../book/book.ts';
import type { BookFile } from '../book/file.ts';
import type { Since } from '../review/since.ts';
import { type Client, clientOf } from './abilities.ts';
import { Bases, movedNotification } from './bases.ts';
import { clientFiles, type Files, withClientFiles } from './client-files.ts';
import { Diagnostics } from './diagnostics.ts';
import { Learning } from './learning.ts';
import type { Ports } from './ports.ts';
import { TokenMemory } from './semantic-tokens.ts';
import { demandWellFormed } from './well-formed.ts';
import { Workspace } from './workspace.ts';

export class Session {
  readonly ports: Ports;
  readonly workspace: Workspace;
  readonly diagnostics: Diagnostics;
  readonly learning: Learning;
  /** Earlier versions of the books, where the editor gave them. */
  readonly bases: Bases;
  readonly tokens = new TokenMemory();
  client: Client = clientOf({});
  /** By the clock of `performance`. */
  lastEdit = Number.NEGATIVE_INFINITY;

  constructor(
    readonly connection: Connection,
    given: Ports,
  ) {
    this.ports = { ...given, ...filesOf(given, connection, () => this.client.files) };
    this.workspace = new Workspace(this.ports);
    this.diagnostics = new Diagnostics(connection, this.workspace, this.ports);
    this.learning = new Learning(
      this.workspace,
      this.ports,
      () => this.learned(),
      (text) => connection.console.error(text),
    );
    this.bases = new Bases(this.workspace, this.ports, (folder) => this.moved(folder));
  }

  /** What fails answers nothing and logs one line, and never ends the server. */
  guarded<P, R>(name: string, nothing: R, handle: (params: P, token: CancellationToken) => R | Promise<R>) {
    return async (params: P, token = CancellationToken.None): Promise<R> => {
      try {
        demandWellFormed(params);
        return await handle(params, token);
      } catch (error) {
        if (error instanceof ResponseError) throw error;
        this.connection.console.error(`${name} failed: ${oneLine(error)}`);
        return nothing;
      }
    };
  }

  /** A request about one file: nothing is answered for a file that no book has. */
  onFile<P extends { textDocument: { uri: string } }, R>(
    name: string,
    nothing: R,
    handle: (book: Book, file: BookFile, params: P) => R,
  ) {
    return this.guarded(name, nothing, (params: P) => {
      const found = this.workspace.at(params.textDocument.uri);
      return found ? handle(found.shelf.book, found.file, params) : nothing;
    });
  }

  /** What a file's book has become since its earlier version, where the editor gave one. */
  async sinceBase(uri: string): Promise<Since | undefined> {
    const shelf = this.workspace.at(uri)?.shelf;
    return shelf && this.bases.of(shelf)?.since();
  }

  /** Works out, while nothing is typed, what a review would have to wait for. */
  readonly settle = this.guarded('hiding of what changed', undefined, async (since: Since): Promise<void> => {
    const before = this.lastEdit;
    if (await since.settle(this.ports.pause, () => this.lastEdit === before)) this.learned();
  });

  readonly loadFolder = this.guarded('reading a folder', undefined, async (uri: string): Promise<void> => {
    const { workspace, diagnostics, learning } = this;
    const shelf = workspace.addFolder(uri);
    await this.ports.pause();
    for (const gone of await workspace.load(shelf)) diagnostics.gone(gone);
    await learning.readLock(shelf);
    await this.bases.loaded(shelf);
    diagnostics.changed();
    learning.changed();
    this.refreshHints();
  });

  async removeFolder(uri: string): Promise<void> {
    await this.bases.give(uri, null);
    const { gone, outer } = this.workspace.removeFolder(uri);
    for (const file of gone) this.diagnostics.gone(file);
    if (outer) await this.loadFolder(outer.folder);
    this.diagnostics.changed();
  }

  /** A file as the editor names it, with the version that it has there. */
  documentOf(uri: string): { uri: string; version: number | null } {
    return { uri: this.workspace.spelled(uri), version: this.workspace.opened(uri)?.version ?? null };
  }

  spelled(locations: Location[]): Location[] {
    return locations.map((location) => ({ ...location, uri: this.workspace.spelled(location.uri) }));
  }

  private learned(): void {
    this.diagnostics.changed();
    this.bases.learned();
    this.refreshHints();
  }

  /** A book or its earlier version became another one. */
  private moved(folder: string): void {
    const { connection } = this;
    if (this.client.refreshesLenses) connection.sendRequest(CodeLensRefreshRequest.type).catch(() => undefined);
    connection.sendNotification(movedNotification, { folder }).catch(() => undefined);
  }

  private refreshHints(): void {
    if (this.client.refreshesHints) this.connection.languages.inlayHint.refresh().catch(() => undefined);
  }
}

/** Asked anew each time, since what the editor can do is known only once it has said so. */
function filesOf(disk: Files, connection: Connection, throughClient: () => boolean): Files {
  const both = withClientFiles(disk, clientFiles(connection));
  return {
    listFiles: (folder) => (throughClient() ? both : disk).listFiles(folder),
    readFile: (uri) => (throughClient() ? both : disk).readFile(uri),
  };
}

/** The error and where it arose, on one line of the log. */
const oneLine = (error: unknown): string =>
  (error instanceof Error ? (error.stack ?? error.message) : String(error))
    .split(/\s*\n\s*/)
    .slice(0, 4)
    .join(' ');
