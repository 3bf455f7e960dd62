/** The language server: which request goes to which feature. */
import {
  type Connection,
  DidChangeConfigurationNotification,
  DidChangeWatchedFilesNotification,
  type InitializeResult,
} from 'vscode-languageserver';
import { LOCK_NAME } from '../book/optics/lock.ts';
import { capabilitiesOf, clientOf, foldersOf } from './abilities.ts';
import { baseNotification } from './bases.ts';
import { codeActions } from './code-actions.ts';
import { codeLenses, untilQuiet } from './code-lens.ts';
import { completion } from './completion.ts';
import { definition, documentHighlights, references } from './definition.ts';
import { documentLinks } from './document-links.ts';
import { formatting } from './formatting.ts';
import { hover } from './hover.ts';
import { inlayHints } from './inlay-hints.ts';
import { pageOf, pageRequest, pageUri } from './manual.ts';
import type { Ports } from './ports.ts';
import { prepareRename, rename } from './rename.ts';
import { reviewRequest, reviewSinceBase, reviewVersions } from './review.ts';
import { selectionRanges } from './selection.ts';
import { tokensInRange } from './semantic-tokens.ts';
import { Session } from './session.ts';
import { sheetAt, sheetRequest } from './sheet.ts';
import { signatureHelp } from './signature-help.ts';
import { documentSymbols, foldingRanges, workspaceSymbols } from './symbols.ts';
import { normalUri } from './uri.ts';

export function serve(connection: Connection, ports: Ports): void {
  const session = new Session(connection, ports);
  start(session);
  watch(session);
  edit(session);
  find(session);
  show(session);
  colour(session);
  name(session);
  write(session);
  review(session);
  connection.listen();
}

function start(session: Session): void {
  const { connection, workspace, diagnostics, learning } = session;
  let folders: readonly string[] = [];
  connection.onInitialize((params): InitializeResult => {
    folders = foldersOf(params);
    // At once, so that a file that is opened before its folder is read finds its book.
    for (const folder of folders) workspace.addFolder(folder);
    session.client = clientOf(params.capabilities, params.initializationOptions);
    const { pages, pulls } = session.client;
    diagnostics.pull = pulls;
    if (pages !== undefined) workspace.pageOf = (code) => pageUri(pages, code);
    return { capabilities: capabilitiesOf(pulls), serverInfo: { name: 'pourbook' } };
  });
  connection.onInitialized(
    session.guarded('initialized', undefined, async () => {
      if (session.client.tellsFolders) followFolders(session);
      register(session);
      for (const folder of folders) await session.loadFolder(folder);
    }),
  );
  connection.onShutdown(() => {
    learning.end();
    diagnostics.end();
  });
}

function followFolders(session: Session): void {
  session.connection.workspace.onDidChangeWorkspaceFolders(
    session.guarded('workspace folders', undefined, async ({ added, removed }) => {
      for (const { uri } of removed) await session.removeFolder(uri);
      for (const { uri } of added) await session.loadFolder(uri);
    }),
  );
}

const WATCHED = ['**/*.pour', '**/*.{cgats,cxf,csv}', `**/${LOCK_NAME}`];

/** An editor that cannot watch tells nothing, and the server goes on. */
function register({ connection, client }: Session): void {
  if (client.registersWatchers)
    connection.client
      .register(DidChangeWatchedFilesNotification.type, { watchers: WATCHED.map((globPattern) => ({ globPattern })) })
      .catch(() => undefined);
  if (client.registersSettings)
    connection.client
      .register(DidChangeConfigurationNotification.type, { section: 'files.exclude' })
      .catch(() => undefined);
}

/** What changes outside the editor's own documents. */
function watch(session: Session): void {
  const { connection, workspace, diagnostics, learning, bases } = session;
  connection.onDidChangeWatchedFiles(
    session.guarded('watched files', undefined, async ({ changes }) => {
      const uris = changes.map(({ uri }) => uri);
      for (const gone of await workspace.filesChanged(uris)) diagnostics.gone(gone);
      bases.filesChanged(uris);
      diagnostics.changed();
      await learning.filesChanged(uris);
    }),
  );
  // What is excluded is the editor's to say: the folders are listed again.
  connection.onDidChangeConfiguration(
    session.guarded('configuration', undefined, async () => {
      for (const shelf of workspace.allShelves()) if (shelf.folder !== '') await session.loadFolder(shelf.folder);
    }),
  );
}

function edit(session: Session): void {
  const { connection, workspace, diagnostics, learning } = session;
  connection.onDidOpenTextDocument(
    session.guarded('open', undefined, ({ textDocument: { uri, version, text } }) => {
      workspace.openFile(uri, version, text);
      diagnostics.edited(uri);
    }),
  );
  connection.onDidChangeTextDocument(
    session.guarded('change', undefined, ({ textDocument: { uri, version }, contentChanges }) => {
      session.lastEdit = performance.now();
      const edited = workspace.edit(uri, version, contentChanges);
      if (edited) diagnostics.edited(uri, edited.cell);
      learning.changed();
    }),
  );
  connection.onDidCloseTextDocument(
    session.guarded('close', undefined, async ({ textDocument: { uri } }) => {
      session.tokens.forget(normalUri(uri));
      const stays = await workspace.closeFile(uri);
      if (!stays) diagnostics.gone(uri);
      diagnostics.changed();
    }),
  );
}

function find(session: Session): void {
  const { connection, diagnostics } = session;
  connection.languages.diagnostics.on(
    session.guarded('diagnostics', { kind: 'full', items: [] }, ({ textDocument, previousResultId }) =>
      diagnostics.document(textDocument.uri, previousResultId),
    ),
  );
  connection.languages.diagnostics.onWorkspace(
    session.guarded('workspace diagnostics', { items: [] }, async ({ previousResultIds }, token) => ({
      items: await diagnostics.all(new Map(previousResultIds.map(({ uri, value }) => [uri, value])), token),
    })),
  );
  connection.onRequest(
    pageRequest,
    session.guarded('page', null, ({ code }) => pageOf(code)),
  );
}

/** What is shown of a file beside its text. */
function show(session: Session): void {
  const { connection, workspace } = session;
  connection.onHover(
    session.guarded('hover', null, async ({ textDocument: { uri }, position }) => {
      const since = await session.sinceBase(uri);
      const found = workspace.at(uri);
      return found ? hover(found.shelf.book, found.file, position, since) : null;
    }),
  );
  connection.languages.inlayHint.on(
    session.onFile('inlay hints', null, (book, file, { range }) => inlayHints(book, file, range)),
  );
  connection.onRequest(sheetRequest, session.onFile('sheet', null, sheetAt));
  connection.onDocumentSymbol(session.onFile('document symbols', null, (_book, file) => documentSymbols(file)));
  connection.onWorkspaceSymbol(
    session.guarded('workspace symbols', null, ({ query }) =>
      workspaceSymbols(
        workspace.allShelves().map((shelf) => shelf.book),
        query,
      ),
    ),
  );
  connection.onFoldingRanges(session.onFile('folding', null, (_book, file) => foldingRanges(file)));
  connection.onSelectionRanges(
    session.onFile('selection ranges', null, (_book, file, { positions }) => selectionRanges(file, positions)),
  );
  connection.onDocumentLinks(session.onFile('document links', null, (_book, file) => documentLinks(file)));
}

/** The colours of words. */
function colour(session: Session): void {
  const { connection } = session;
  const { tokens } = session;
  const { semanticTokens } = connection.languages;
  semanticTokens.on(session.onFile('semantic tokens', { data: [] }, (book, file) => tokens.whole(book, file)));
  semanticTokens.onDelta(
    session.onFile('changed semantic tokens', { data: [] }, (book, file, { previousResultId }) =>
      tokens.difference(book, file, previousResultId),
    ),
  );
  semanticTokens.onRange(
    session.onFile('semantic tokens in range', { data: [] }, (book, file, { range }) =>
      tokensInRange(book, file, range),
    ),
  );
}

function name(session: Session): void {
  const { connection } = session;
  connection.onDefinition(
    session.onFile('definition', null, (book, file, { position }) => session.spelled(definition(book, file, position))),
  );
  connection.onReferences(
    session.onFile('references', null, (book, file, { position, context }) =>
      session.spelled(references(book, file, position, context.includeDeclaration)),
    ),
  );
  connection.onDocumentHighlight(
    session.onFile('document highlight', null, (book, file, { position }) => documentHighlights(book, file, position)),
  );
  connection.onPrepareRename(
    session.onFile('prepare rename', null, (book, file, { position }) => prepareRename(book, file, position)),
  );
  connection.onRenameRequest(
    session.onFile('rename', null, (book, file, { position, newName }) =>
      rename(book, file, position, newName, (uri) => session.documentOf(uri)),
    ),
  );
}

function write(session: Session): void {
  const { connection } = session;
  connection.onCompletion(
    session.onFile('completion', null, (book, file, { position }) =>
      completion(book, file, position, session.client.completion),
    ),
  );
  connection.onSignatureHelp(
    session.onFile('signature help', null, (_book, file, { position }) => signatureHelp(file, position)),
  );
  connection.onDocumentFormatting(session.onFile('formatting', null, (_book, file) => formatting(file)));
  connection.onDocumentRangeFormatting(
    session.onFile('range formatting', null, (_book, file, { range }) => formatting(file, range)),
  );
  connection.onCodeAction(
    session.onFile('code actions', null, (book, file, { range, context }) =>
      codeActions(book, file, range, context, session.documentOf(file.uri)),
    ),
  );
}

/** What changes to a book do to its paint, beside the text. */
function review(session: Session): void {
  const { connection, workspace, bases, ports } = session;
  connection.onNotification(
    baseNotification,
    session.guarded('base', undefined, ({ folder, version }) => bases.give(folder, version)),
  );
  connection.onCodeLens(
    session.guarded('code lens', null, async ({ textDocument: { uri } }, token) => {
      await untilQuiet(() => session.lastEdit, token);
      const since = await session.sinceBase(uri);
      const found = workspace.at(uri);
      if (!found || !since) return null;
      const lenses = await codeLenses(since, found.file, found.shelf.folder, ports.pause, token);
      void session.settle(since);
      return lenses;
    }),
  );
  connection.onRequest(
    reviewRequest,
    session.guarded(
      'review',
      { problem: 'The review failed; the log says why.' },
      async ({ folder, before, after, commits = [] }) => {
        const shelf = workspace.folder(folder);
        const base = shelf && bases.of(shelf);
        if (!shelf || (!before && !base))
          return { problem: 'The book is still being read, or no earlier version of it is known.' };
        return before
          ? reviewVersions(shelf, before, after, commits, ports)
          : reviewSinceBase(shelf, base!, ports, session.settle);
      },
    ),
  );
}
