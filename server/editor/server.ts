/**
 * The language server: which request goes to which feature. Every handler is guarded: what fails answers nothing and logs one line, and
 * never ends the server.
 */
import {
  CancellationToken,
  type ClientCapabilities,
  CodeLensRefreshRequest,
  type Connection,
  DidChangeConfigurationNotification,
  DidChangeWatchedFilesNotification,
  type InitializeParams,
  type InitializeResult,
  type Location,
  ResponseError,
  TextDocumentSyncKind,
} from 'vscode-languageserver';
import type { Book } from '../book/book.ts';
import type { BookFile } from '../book/file.ts';
import { LOCK_NAME } from '../book/optics/lock.ts';
import type { Since } from '../review/since.ts';
import { Bases, baseNotification, movedNotification } from './bases.ts';
import { clientFiles, type Files, withClientFiles } from './client-files.ts';
import { codeActions, FIX_ALL } from './code-actions.ts';
import { codeLenses, untilQuiet } from './code-lens.ts';
import { type CompletionOptions, completion, TRIGGERS } from './completion.ts';
import { definition, documentHighlights, references } from './definition.ts';
import { Diagnostics } from './diagnostics.ts';
import { documentLinks } from './document-links.ts';
import { formatting } from './formatting.ts';
import { hover } from './hover.ts';
import { inlayHints } from './inlay-hints.ts';
import { Learning } from './learning.ts';
import { pageOf, pageRequest, pageUri } from './manual.ts';
import type { Ports } from './ports.ts';
import { prepareRename, rename } from './rename.ts';
import { reviewRequest, reviewSinceBase, reviewVersions } from './review.ts';
import { selectionRanges } from './selection.ts';
import { TOKEN_LEGEND, TokenMemory, tokensInRange } from './semantic-tokens.ts';
import { sheetAt, sheetRequest } from './sheet.ts';
import { signatureHelp } from './signature-help.ts';
import { documentSymbols, foldingRanges, workspaceSymbols } from './symbols.ts';
import { normalUri } from './uri.ts';
import { demandWellFormed } from './well-formed.ts';
import { Workspace } from './workspace.ts';

export function serve(connection: Connection, given: Ports): void {
  const ports: Ports = { ...given, ...filesOf(given, connection, () => client.files) };
  const workspace = new Workspace(ports);
  const diagnostics = new Diagnostics(connection, workspace, ports);
  const learning = new Learning(
    workspace,
    ports,
    () => learned(),
    (text) => connection.console.error(text),
  );
  const learned = () => {
    diagnostics.changed();
    bases.learned();
    if (client.refreshesHints) connection.languages.inlayHint.refresh().catch(() => undefined);
  };
  const bases = new Bases(workspace, ports, (folder) => {
    if (client.refreshesLenses) connection.sendRequest(CodeLensRefreshRequest.type).catch(() => undefined);
    connection.sendNotification(movedNotification, { folder }).catch(() => undefined);
  });
  let lastEdit = Number.NEGATIVE_INFINITY;
  let folders: readonly string[] = [];
  const tokens = new TokenMemory();
  let client = clientOf({});

  const guarded =
    <P, R>(name: string, nothing: R, handle: (params: P, token: CancellationToken) => R | Promise<R>) =>
    async (params: P, token = CancellationToken.None): Promise<R> => {
      try {
        demandWellFormed(params);
        return await handle(params, token);
      } catch (error) {
        if (error instanceof ResponseError) throw error;
        connection.console.error(`${name} failed: ${oneLine(error)}`);
        return nothing;
      }
    };

  /** A request about one file: nothing is answered for a file that no book has. */
  const onFile = <P extends { textDocument: { uri: string } }, R>(
    name: string,
    nothing: R,
    handle: (book: Book, file: BookFile, params: P) => R,
  ) =>
    guarded(name, nothing, (params: P) => {
      const found = workspace.at(params.textDocument.uri);
      return found ? handle(found.shelf.book, found.file, params) : nothing;
    });
  const documentOf = (uri: string) => ({
    uri: workspace.spelled(uri),
    version: workspace.opened(uri)?.version ?? null,
  });
  /** Works out, while nothing is typed, what a review would have to wait for. */
  const settle = guarded('hiding of what changed', undefined, async (since: Since): Promise<void> => {
    const before = lastEdit;
    if (await since.settle(ports.pause, () => lastEdit === before)) learned();
  });
  /** What a file's book has become since its earlier version, where the editor gave one. */
  const sinceBase = async (uri: string) => {
    const shelf = workspace.at(uri)?.shelf;
    return shelf && bases.of(shelf)?.since();
  };
  const spelled = (locations: Location[]): Location[] =>
    locations.map((location) => ({ ...location, uri: workspace.spelled(location.uri) }));

  connection.onInitialize((params): InitializeResult => {
    folders = foldersOf(params);
    // At once, so that a file that is opened before its folder is read finds its book.
    for (const folder of folders) workspace.addFolder(folder);
    client = clientOf(params.capabilities, params.initializationOptions);
    diagnostics.pull = client.pulls;
    const { pages } = client;
    if (pages !== undefined) workspace.pageOf = (code) => pageUri(pages, code);
    return { capabilities: capabilitiesOf(client.pulls), serverInfo: { name: 'pourbook' } };
  });

  connection.onInitialized(
    guarded('initialized', undefined, async () => {
      if (client.tellsFolders) {
        connection.workspace.onDidChangeWorkspaceFolders(
          guarded('workspace folders', undefined, async ({ added, removed }) => {
            for (const { uri } of removed) await removeFolder(uri);
            for (const { uri } of added) await loadFolder(uri);
          }),
        );
      }
      if (client.registersWatchers) {
        connection.client
          .register(DidChangeWatchedFilesNotification.type, {
            watchers: WATCHED.map((globPattern) => ({ globPattern })),
          })
          .catch(() => undefined); // an editor that cannot watch tells nothing, and the server goes on
      }
      if (client.registersSettings) {
        connection.client
          .register(DidChangeConfigurationNotification.type, { section: 'files.exclude' })
          .catch(() => undefined);
      }
      for (const folder of folders) await loadFolder(folder);
    }),
  );

  const loadFolder = guarded('reading a folder', undefined, async (uri: string): Promise<void> => {
    const shelf = workspace.addFolder(uri);
    await ports.pause();
    for (const gone of await workspace.load(shelf)) diagnostics.gone(gone);
    await learning.readLock(shelf);
    await bases.loaded(shelf);
    diagnostics.changed();
    learning.changed();
    if (client.refreshesHints) connection.languages.inlayHint.refresh().catch(() => undefined);
  });

  const removeFolder = async (uri: string): Promise<void> => {
    await bases.give(uri, null);
    const { gone, outer } = workspace.removeFolder(uri);
    for (const file of gone) diagnostics.gone(file);
    if (outer) await loadFolder(outer.folder);
    diagnostics.changed();
  };

  connection.onDidOpenTextDocument(
    guarded('open', undefined, ({ textDocument: { uri, version, text } }) => {
      workspace.openFile(uri, version, text);
      diagnostics.edited(uri);
    }),
  );
  connection.onDidChangeTextDocument(
    guarded('change', undefined, ({ textDocument: { uri, version }, contentChanges }) => {
      lastEdit = performance.now();
      const edit = workspace.edit(uri, version, contentChanges);
      if (edit) diagnostics.edited(uri, edit.cell);
      learning.changed();
    }),
  );
  connection.onDidCloseTextDocument(
    guarded('close', undefined, async ({ textDocument: { uri } }) => {
      tokens.forget(normalUri(uri));
      const stays = await workspace.closeFile(uri);
      if (!stays) diagnostics.gone(uri);
      diagnostics.changed();
    }),
  );
  connection.onDidChangeWatchedFiles(
    guarded('watched files', undefined, async ({ changes }) => {
      for (const gone of await workspace.filesChanged(changes.map(({ uri }) => uri))) diagnostics.gone(gone);
      bases.filesChanged(changes.map(({ uri }) => uri));
      diagnostics.changed();
      await learning.filesChanged(changes.map(({ uri }) => uri));
    }),
  );
  // What is excluded is the editor's to say: the folders are listed again.
  connection.onDidChangeConfiguration(
    guarded('configuration', undefined, async () => {
      for (const shelf of workspace.allShelves()) if (shelf.folder !== '') await loadFolder(shelf.folder);
    }),
  );
  connection.onShutdown(() => {
    learning.end();
    diagnostics.end();
  });

  connection.languages.diagnostics.on(
    guarded('diagnostics', { kind: 'full', items: [] }, ({ textDocument, previousResultId }) =>
      diagnostics.document(textDocument.uri, previousResultId),
    ),
  );
  connection.languages.diagnostics.onWorkspace(
    guarded('workspace diagnostics', { items: [] }, async ({ previousResultIds }, token) => ({
      items: await diagnostics.all(new Map(previousResultIds.map(({ uri, value }) => [uri, value])), token),
    })),
  );

  connection.onHover(
    guarded('hover', null, async ({ textDocument: { uri }, position }) => {
      const since = await sinceBase(uri);
      const found = workspace.at(uri);
      return found ? hover(found.shelf.book, found.file, position, since) : null;
    }),
  );
  connection.onCodeLens(
    guarded('code lens', null, async ({ textDocument: { uri } }, token) => {
      await untilQuiet(() => lastEdit, token);
      const since = await sinceBase(uri);
      const found = workspace.at(uri);
      if (!found || !since) return null;
      const lenses = await codeLenses(since, found.file, found.shelf.folder, ports.pause, token);
      void settle(since);
      return lenses;
    }),
  );
  connection.onNotification(
    baseNotification,
    guarded('base', undefined, ({ folder, version }) => bases.give(folder, version)),
  );
  connection.onRequest(
    reviewRequest,
    guarded(
      'review',
      { problem: 'The review failed; the log says why.' },
      async ({ folder, before, after, commits = [] }) => {
        const shelf = workspace.folder(folder);
        const base = shelf && bases.of(shelf);
        if (!shelf || (!before && !base))
          return { problem: 'The book is still being read, or no earlier version of it is known.' };
        return before
          ? reviewVersions(shelf, before, after, commits, ports)
          : reviewSinceBase(shelf, base!, ports, settle);
      },
    ),
  );
  connection.onDefinition(
    onFile('definition', null, (book, file, { position }) => spelled(definition(book, file, position))),
  );
  connection.onReferences(
    onFile('references', null, (book, file, { position, context }) =>
      spelled(references(book, file, position, context.includeDeclaration)),
    ),
  );
  connection.onDocumentHighlight(
    onFile('document highlight', null, (book, file, { position }) => documentHighlights(book, file, position)),
  );
  connection.onPrepareRename(
    onFile('prepare rename', null, (book, file, { position }) => prepareRename(book, file, position)),
  );
  connection.onRenameRequest(
    onFile('rename', null, (book, file, { position, newName }) => rename(book, file, position, newName, documentOf)),
  );
  connection.onCompletion(
    onFile('completion', null, (book, file, { position }) => completion(book, file, position, client.completion)),
  );
  connection.onSignatureHelp(
    onFile('signature help', null, (_book, file, { position }) => signatureHelp(file, position)),
  );
  connection.onDocumentSymbol(onFile('document symbols', null, (_book, file) => documentSymbols(file)));
  connection.onWorkspaceSymbol(
    guarded('workspace symbols', null, ({ query }) =>
      workspaceSymbols(
        workspace.allShelves().map((shelf) => shelf.book),
        query,
      ),
    ),
  );
  connection.onFoldingRanges(onFile('folding', null, (_book, file) => foldingRanges(file)));
  connection.onSelectionRanges(
    onFile('selection ranges', null, (_book, file, { positions }) => selectionRanges(file, positions)),
  );
  connection.onDocumentLinks(onFile('document links', null, (_book, file) => documentLinks(file)));
  connection.onDocumentFormatting(onFile('formatting', null, (_book, file) => formatting(file)));
  connection.onDocumentRangeFormatting(
    onFile('range formatting', null, (_book, file, { range }) => formatting(file, range)),
  );
  connection.onCodeAction(
    onFile('code actions', null, (book, file, { range, context }) =>
      codeActions(book, file, range, context, documentOf(file.uri)),
    ),
  );
  connection.languages.inlayHint.on(
    onFile('inlay hints', null, (book, file, { range }) => inlayHints(book, file, range)),
  );
  connection.onRequest(sheetRequest, onFile('sheet', null, sheetAt));
  connection.onRequest(
    pageRequest,
    guarded('page', null, ({ code }) => pageOf(code)),
  );
  connection.languages.semanticTokens.on(
    onFile('semantic tokens', { data: [] }, (book, file) => tokens.whole(book, file)),
  );
  connection.languages.semanticTokens.onDelta(
    onFile('changed semantic tokens', { data: [] }, (book, file, { previousResultId }) =>
      tokens.difference(book, file, previousResultId),
    ),
  );
  connection.languages.semanticTokens.onRange(
    onFile('semantic tokens in range', { data: [] }, (book, file, { range }) => tokensInRange(book, file, range)),
  );

  connection.listen();
}

/** Asked anew each time, since what the editor can do is known only once it has said so. */
function filesOf(disk: Files, connection: Connection, throughClient: () => boolean): Files {
  const both = withClientFiles(disk, clientFiles(connection));
  return {
    listFiles: (folder) => (throughClient() ? both : disk).listFiles(folder),
    readFile: (uri) => (throughClient() ? both : disk).readFile(uri),
  };
}

/** What of the editor's abilities the server asks for. */
const clientOf = ({ workspace, textDocument }: ClientCapabilities, options?: unknown) => ({
  pulls: textDocument?.diagnostic !== undefined && workspace?.diagnostics?.refreshSupport === true,
  tellsFolders: workspace?.workspaceFolders === true,
  registersWatchers: workspace?.didChangeWatchedFiles?.dynamicRegistration === true,
  registersSettings: workspace?.didChangeConfiguration?.dynamicRegistration === true,
  refreshesHints: workspace?.inlayHint?.refreshSupport === true,
  refreshesLenses: workspace?.codeLens?.refreshSupport === true,
  files: (options as { readonly files?: unknown } | null | undefined)?.files === true,
  pages: textDocument?.publishDiagnostics?.codeDescriptionSupport ? schemeOf(options) : undefined,
  completion: {
    snippets: textDocument?.completion?.completionItem?.snippetSupport === true,
    ...(options as Partial<CompletionOptions> | null | undefined),
  },
});

/** The scheme under which the editor opens pages of the manual, where it says one. */
function schemeOf(options: unknown): string | undefined {
  const { pages } = (options ?? {}) as { readonly pages?: unknown };
  return typeof pages === 'string' && /^[a-z][a-z0-9+.-]*$/.test(pages) ? pages : undefined;
}

const WATCHED = ['**/*.pour', '**/*.{cgats,cxf,csv}', `**/${LOCK_NAME}`];

/** The error and where it arose, on one line of the log. */
const oneLine = (error: unknown): string =>
  (error instanceof Error ? (error.stack ?? error.message) : String(error))
    .split(/\s*\n\s*/)
    .slice(0, 4)
    .join(' ');

function foldersOf(params: InitializeParams): string[] {
  if (params.workspaceFolders) return params.workspaceFolders.map((folder) => folder.uri);
  return params.rootUri ? [params.rootUri] : [];
}

const capabilitiesOf = (pull: boolean): InitializeResult['capabilities'] => ({
  positionEncoding: 'utf-16',
  textDocumentSync: { openClose: true, change: TextDocumentSyncKind.Incremental },
  hoverProvider: true,
  definitionProvider: true,
  referencesProvider: true,
  renameProvider: { prepareProvider: true },
  completionProvider: { triggerCharacters: TRIGGERS },
  signatureHelpProvider: { triggerCharacters: [' '] },
  documentHighlightProvider: true,
  selectionRangeProvider: true,
  documentLinkProvider: {},
  documentSymbolProvider: true,
  workspaceSymbolProvider: true,
  foldingRangeProvider: true,
  documentFormattingProvider: true,
  documentRangeFormattingProvider: true,
  codeActionProvider: { codeActionKinds: ['quickfix', FIX_ALL] },
  inlayHintProvider: true,
  codeLensProvider: {},
  semanticTokensProvider: { legend: TOKEN_LEGEND, full: { delta: true }, range: true },
  workspace: { workspaceFolders: { supported: true, changeNotifications: true } },
  ...(pull
    ? { diagnosticProvider: { identifier: 'pourbook', interFileDependencies: true, workspaceDiagnostics: true } }
    : {}),
});
