/** What the editor says it can do, and what the server says it can. */
import {
  type ClientCapabilities,
  type InitializeParams,
  type InitializeResult,
  TextDocumentSyncKind,
} from 'vscode-languageserver';
import { FIX_ALL } from './code-actions.ts';
import { type CompletionOptions, TRIGGERS } from './completion.ts';
import { TOKEN_LEGEND } from './semantic-tokens.ts';

/** What of the editor's abilities the server asks for. */
export type Client = ReturnType<typeof clientOf>;

export const clientOf = ({ workspace, textDocument }: ClientCapabilities, options?: unknown) => ({
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

export function foldersOf(params: InitializeParams): string[] {
  if (params.workspaceFolders) return params.workspaceFolders.map((folder) => folder.uri);
  return params.rootUri ? [params.rootUri] : [];
}

export const capabilitiesOf = (pull: boolean): InitializeResult['capabilities'] => ({
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
