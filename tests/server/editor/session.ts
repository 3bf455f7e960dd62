/** The language server over an in-memory stream, spoken to as an editor speaks: real JSON-RPC, no shortcuts. */
import { PassThrough } from 'node:stream';
import {
  createConnection as createServerConnection,
  ProposedFeatures,
  StreamMessageReader,
  StreamMessageWriter,
} from 'vscode-languageserver/node';
import {
  type ClientCapabilities,
  createProtocolConnection,
  type Diagnostic,
  DidChangeTextDocumentNotification,
  DidChangeWatchedFilesNotification,
  DidCloseTextDocumentNotification,
  DidOpenTextDocumentNotification,
  FileChangeType,
  type FileEvent,
  InitializedNotification,
  InitializeRequest,
  type InitializeResult,
  LogMessageNotification,
  type LSPObject,
  type Position,
  type ProtocolConnection,
  PublishDiagnosticsNotification,
  type Range,
} from 'vscode-languageserver-protocol/node';
import type { Ports } from '../../../server/editor/ports.ts';
import { serve } from '../../../server/editor/server.ts';

export interface TextChange {
  readonly start: Position;
  readonly end: Position;
  readonly text: string;
}

export interface Session {
  readonly client: ProtocolConnection;
  readonly initialized: InitializeResult;
  /** Diagnostics last told for a file, and how often any were told. */
  readonly told: Map<string, Diagnostic[]>;
  readonly tellings: { uri: string; version: number | undefined; diagnostics: Diagnostic[] }[];
  /** Lines of the server's log. */
  readonly log: string[];
  /** How often the server asked for a new pull. */
  readonly refreshes: () => number;
  /** The server's disk: text by uri. */
  readonly disk: Map<string, string>;
  /** Waits until the condition holds; fails after ten seconds. */
  readonly until: (holds: () => boolean) => Promise<void>;
  readonly open: (uri: string, text: string) => Promise<void>;
  readonly change: (uri: string, version: number, ...edits: TextChange[]) => Promise<void>;
  readonly close: (uri: string) => Promise<void>;
  /** Writes to the disk, or deletes, and tells the server as a watcher does. */
  readonly write: (files: Record<string, string | undefined>) => Promise<void>;
  readonly end: () => void;
}

export const FOLDER = 'file:///book';

export interface SessionOptions {
  /** Files on the server's disk by path below the folder. */
  readonly files?: Record<string, string>;
  readonly capabilities?: ClientCapabilities;
  readonly folders?: readonly string[];
  readonly initializationOptions?: LSPObject;
  /** Ports that behave in another way than the disk above. */
  readonly ports?: Partial<Ports>;
  /** What the editor answers when the server asks. */
  readonly answers?: Readonly<Record<string, (params: never) => unknown>>;
}

export const PULL: ClientCapabilities = {
  textDocument: { diagnostic: {} },
  workspace: { diagnostics: { refreshSupport: true } },
};

export async function session(options: SessionOptions = {}): Promise<Session> {
  const { files = {}, capabilities = {}, folders = [FOLDER], initializationOptions, ports, answers = {} } = options;
  const up = new PassThrough();
  const down = new PassThrough();
  const disk = new Map(Object.entries(files).map(([path, text]) => [`${FOLDER}/${path}`, text]));
  serve(createServerConnection(ProposedFeatures.all, new StreamMessageReader(up), new StreamMessageWriter(down)), {
    listFiles: async (folder) => [...disk.keys()].filter((uri) => uri.startsWith(folder) && uri.endsWith('.pour')),
    readFile: async (uri) => (disk.has(uri) ? new TextEncoder().encode(disk.get(uri)) : undefined),
    pause: () => new Promise((resolve) => setImmediate(resolve)),
    ...ports,
  });
  const client = createProtocolConnection(new StreamMessageReader(down), new StreamMessageWriter(up));
  const told = new Map<string, Diagnostic[]>();
  const tellings: Session['tellings'] = [];
  const log: string[] = [];
  let refreshes = 0;
  client.onNotification(PublishDiagnosticsNotification.type, ({ uri, version, diagnostics }) => {
    told.set(uri, diagnostics);
    tellings.push({ uri, version, diagnostics });
  });
  client.onNotification(LogMessageNotification.type, ({ message }) => void log.push(message));
  client.onRequest('workspace/inlayHint/refresh', () => null);
  client.onRequest('workspace/diagnostic/refresh', () => {
    refreshes++;
    return null;
  });
  for (const [method, answer] of Object.entries(answers))
    client.onRequest(method, answer as (params: unknown) => unknown);
  client.listen();
  const initialized = await client.sendRequest(InitializeRequest.type, {
    processId: null,
    rootUri: null,
    workspaceFolders: folders.map((uri) => ({ uri, name: uri })),
    capabilities,
    ...(initializationOptions ? { initializationOptions } : {}),
  });
  await client.sendNotification(InitializedNotification.type, {});
  const until: Session['until'] = async (holds) => {
    const limit = Date.now() + 10_000;
    while (!holds()) {
      if (Date.now() > limit) throw new Error('what was waited for did not come');
      await new Promise((resolve) => setTimeout(resolve, 5));
    }
  };
  return {
    client,
    initialized,
    told,
    tellings,
    log,
    refreshes: () => refreshes,
    disk,
    until,
    open: (uri, text) =>
      client.sendNotification(DidOpenTextDocumentNotification.type, {
        textDocument: { uri, languageId: 'pour', version: 1, text },
      }),
    change: (uri, version, ...edits) =>
      client.sendNotification(DidChangeTextDocumentNotification.type, {
        textDocument: { uri, version },
        contentChanges: edits.map(({ start, end, text }) => ({ range: { start, end }, text })),
      }),
    close: (uri) => client.sendNotification(DidCloseTextDocumentNotification.type, { textDocument: { uri } }),
    write: (changed) => {
      for (const [uri, text] of Object.entries(changed)) text === undefined ? disk.delete(uri) : disk.set(uri, text);
      const changes = Object.keys(changed).map(
        (uri): FileEvent => ({
          uri,
          type: changed[uri] === undefined ? FileChangeType.Deleted : FileChangeType.Changed,
        }),
      );
      return client.sendNotification(DidChangeWatchedFilesNotification.type, { changes });
    },
    end: () => {
      client.dispose();
      up.destroy();
      down.destroy();
    },
  };
}

/** A text with `|` where the cursor stands: the text without it, and the position. */
export function cursorIn(marked: string): { text: string; position: Position } {
  const at = marked.indexOf('|');
  if (at < 0) throw new Error('no | in the text');
  return { text: marked.slice(0, at) + marked.slice(at + 1), position: positionAt(marked, at) };
}

export function positionAt(text: string, offset: number): Position {
  const before = text.slice(0, offset);
  const line = before.split('\n').length - 1;
  return { line, character: offset - (before.lastIndexOf('\n') + 1) };
}

/** The text in a range. */
export function textIn(text: string, { start, end }: Range): string {
  return text.slice(offsetAt(text, start), offsetAt(text, end));
}

/** The offset of a position that lies in the text. */
export function offsetAt(text: string, { line, character }: Position): number {
  let at = 0;
  for (let index = 0; index < line; index++) at = text.indexOf('\n', at) + 1;
  return at + character;
}

/** The text after edits that do not overlap. */
export function edited(text: string, edits: readonly { range: Range; newText: string }[]): string {
  return [...edits]
    .sort((a, b) => offsetAt(text, b.range.start) - offsetAt(text, a.range.start))
    .reduce(
      (now, { range, newText }) =>
        now.slice(0, offsetAt(text, range.start)) + newText + now.slice(offsetAt(text, range.end)),
      text,
    );
}
