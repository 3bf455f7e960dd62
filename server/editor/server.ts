/**
 * The language server: which request goes to which feature. Every handler is guarded: what fails answers nothing and logs one line, and
 * never ends the server.
 */
import {
  type Connection,
  type InitializeParams,
  type InitializeResult,
  ResponseError,
  TextDocumentSyncKind,
} from 'vscode-languageserver';
import type { Book } from '../book/book.ts';
import type { BookFile } from '../book/file.ts';
import { codeActions, FIX_ALL } from './code-actions.ts';
import { completion, TRIGGERS } from './completion.ts';
import { definition, references } from './definition.ts';
import { Diagnostics } from './diagnostics.ts';
import { formatting } from './formatting.ts';
import { hover } from './hover.ts';
import { inlayHints } from './inlay-hints.ts';
import type { Ports } from './ports.ts';
import { prepareRename, rename } from './rename.ts';
import { semanticTokens, TOKEN_LEGEND } from './semantic-tokens.ts';
import { documentSymbols, foldingRanges, workspaceSymbols } from './symbols.ts';
import { Workspace } from './workspace.ts';

export function serve(connection: Connection, ports: Ports): void {
  const workspace = new Workspace(ports);
  const diagnostics = new Diagnostics(connection, workspace, ports);
  let folders: readonly string[] = [];
  let watchesFolders = false;

  const guarded =
    <P, R>(name: string, nothing: R, handle: (params: P) => R | Promise<R>) =>
    async (params: P): Promise<R> => {
      try {
        return await handle(params);
      } catch (error) {
        if (error instanceof ResponseError) throw error;
        connection.console.error(
          `${name} failed: ${error instanceof Error ? (error.stack ?? error.message) : String(error)}`,
        );
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
  const versionOf = (uri: string): number | null => workspace.opened(uri)?.version ?? null;

  connection.onInitialize((params): InitializeResult => {
    folders = foldersOf(params);
    const { capabilities } = params;
    diagnostics.pull =
      capabilities.textDocument?.diagnostic !== undefined &&
      capabilities.workspace?.diagnostics?.refreshSupport === true;
    watchesFolders = capabilities.workspace?.workspaceFolders === true;
    return { capabilities: capabilitiesOf(diagnostics.pull), serverInfo: { name: 'pourbook' } };
  });

  connection.onInitialized(
    guarded('initialized', undefined, async () => {
      if (watchesFolders) {
        connection.workspace.onDidChangeWorkspaceFolders(
          guarded('workspace folders', undefined, async ({ added, removed }) => {
            for (const folder of removed) for (const uri of workspace.removeFolder(folder.uri)) diagnostics.gone(uri);
            for (const folder of added) await loadFolder(folder.uri);
          }),
        );
      }
      for (const folder of folders) await loadFolder(folder);
    }),
  );

  const loadFolder = async (uri: string): Promise<void> => {
    const shelf = workspace.addFolder(uri);
    await ports.pause();
    await workspace.load(shelf);
    diagnostics.changed(shelf);
    connection.languages.inlayHint.refresh().catch(() => undefined);
  };

  connection.onDidOpenTextDocument(
    guarded('open', undefined, ({ textDocument }) => {
      diagnostics.changed(
        workspace.openFile(textDocument.uri, textDocument.version, textDocument.text),
        workspace.at(textDocument.uri)?.file.uri,
      );
    }),
  );
  connection.onDidChangeTextDocument(
    guarded('change', undefined, ({ textDocument, contentChanges }) => {
      const shelf = workspace.edit(textDocument.uri, textDocument.version, contentChanges);
      if (shelf) diagnostics.changed(shelf, workspace.at(textDocument.uri)?.file.uri);
    }),
  );
  connection.onDidCloseTextDocument(
    guarded('close', undefined, async ({ textDocument }) => {
      const shelf = await workspace.closeFile(textDocument.uri);
      if (!workspace.at(textDocument.uri)) diagnostics.gone(textDocument.uri);
      if (shelf) diagnostics.changed(shelf);
    }),
  );
  connection.onDidChangeWatchedFiles(
    guarded('watched files', undefined, async ({ changes }) => {
      for (const { uri } of changes) {
        const shelf = await workspace.fileChanged(uri);
        if (!workspace.at(uri)) diagnostics.gone(uri);
        if (shelf) diagnostics.changed(shelf);
      }
    }),
  );

  connection.languages.diagnostics.on(
    guarded('diagnostics', { kind: 'full', items: [] }, ({ textDocument, previousResultId }) =>
      diagnostics.document(textDocument.uri, previousResultId),
    ),
  );
  connection.languages.diagnostics.onWorkspace(
    guarded('workspace diagnostics', { items: [] }, ({ previousResultIds }) => ({
      items: diagnostics.all(new Map(previousResultIds.map(({ uri, value }) => [uri, value]))),
    })),
  );

  connection.onHover(onFile('hover', null, (book, file, { position }) => hover(book, file, position)));
  connection.onDefinition(onFile('definition', [], (book, file, { position }) => definition(book, file, position)));
  connection.onReferences(
    onFile('references', [], (book, file, { position, context }) =>
      references(book, file, position, context.includeDeclaration),
    ),
  );
  connection.onPrepareRename(
    onFile('prepare rename', null, (book, file, { position }) => prepareRename(book, file, position)),
  );
  connection.onRenameRequest(
    onFile('rename', null, (book, file, { position, newName }) => rename(book, file, position, newName, versionOf)),
  );
  connection.onCompletion(onFile('completion', null, (book, file, { position }) => completion(book, file, position)));
  connection.onDocumentSymbol(onFile('document symbols', [], (_book, file) => documentSymbols(file)));
  connection.onWorkspaceSymbol(
    guarded('workspace symbols', [], ({ query }) =>
      workspaceSymbols(
        workspace.allShelves().map((shelf) => shelf.book),
        query,
      ),
    ),
  );
  connection.onFoldingRanges(onFile('folding', [], (_book, file) => foldingRanges(file)));
  connection.onDocumentFormatting(onFile('formatting', [], (_book, file) => formatting(file)));
  connection.onDocumentRangeFormatting(
    onFile('range formatting', [], (_book, file, { range }) => formatting(file, range)),
  );
  connection.onCodeAction(
    onFile('code actions', [], (book, file, { range, context }) =>
      codeActions(book, file, range, context, versionOf(file.uri)),
    ),
  );
  connection.languages.inlayHint.on(
    onFile('inlay hints', [], (book, file, { range }) => inlayHints(book, file, range)),
  );
  connection.languages.semanticTokens.on(
    onFile('semantic tokens', { data: [] }, (_book, file) => semanticTokens(file)),
  );
  connection.languages.semanticTokens.onRange(
    onFile('semantic tokens in range', { data: [] }, (_book, file, { range }) => semanticTokens(file, range)),
  );

  connection.listen();
}

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
  documentSymbolProvider: true,
  workspaceSymbolProvider: true,
  foldingRangeProvider: true,
  documentFormattingProvider: true,
  documentRangeFormattingProvider: true,
  codeActionProvider: { codeActionKinds: ['quickfix', FIX_ALL] },
  inlayHintProvider: true,
  semanticTokensProvider: { legend: TOKEN_LEGEND, full: true, range: true },
  workspace: { workspaceFolders: { supported: true, changeNotifications: true } },
  ...(pull
    ? { diagnosticProvider: { identifier: 'pourbook', interFileDependencies: true, workspaceDiagnostics: true } }
    : {}),
});
