/** The language server over an in-memory stream, spoken to as an editor speaks: real JSON-RPC, no shortcuts. */
import { PassThrough } from 'node:stream';
import { createConnection as createServerConnection, ProposedFeatures, StreamMessageReader, StreamMessageWriter } from 'vscode-languageserver/node';
import {
  type ClientCapabilities,
  createProtocolConnection,
  type Diagnostic,
  DidChangeTextDocumentNotification,
  DidOpenTextDocumentNotification,
  InitializedNotification,
  InitializeRequest,
  type Position,
  type ProtocolConnection,
  PublishDiagnosticsNotification,
} from 'vscode-languageserver-protocol/node';
import { serve } from '../../../server/editor/server.ts';

export interface Session {
  readonly client: ProtocolConnection;
  /** Diagnostics last told for a file. */
  readonly told: Map<string, Diagnostic[]>;
  /** Waits until the condition holds; fails after five seconds. */
  readonly until: (holds: () => boolean) => Promise<void>;
  readonly open: (uri: string, text: string) => Promise<void>;
  readonly change: (uri: string, version: number, edit: { start: Position; end: Position; text: string }) => Promise<void>;
  readonly end: () => void;
}

export const FOLDER = 'file:///book';

export interface SessionOptions {
  /** Files on the server's disk by path below the folder. */
  readonly files?: Record<string, string>;
  readonly capabilities?: ClientCapabilities;
}

export async function session({ files = {}, capabilities = {} }: SessionOptions = {}): Promise<Session> {
  const up = new PassThrough();
  const down = new PassThrough();
  const disk = new Map(Object.entries(files).map(([path, text]) => [`${FOLDER}/${path}`, text]));
  serve(createServerConnection(ProposedFeatures.all, new StreamMessageReader(up), new StreamMessageWriter(down)), {
    listFiles: async () => [...disk.keys()],
    readFile: async (uri) => (disk.has(uri) ? new TextEncoder().encode(disk.get(uri)) : undefined),
    pause: () => new Promise((resolve) => setImmediate(resolve)),
  });
  const client = createProtocolConnection(new StreamMessageReader(down), new StreamMessageWriter(up));
  const told = new Map<string, Diagnostic[]>();
  client.onNotification(PublishDiagnosticsNotification.type, ({ uri, diagnostics }) => void told.set(uri, diagnostics));
  client.onRequest('workspace/inlayHint/refresh', () => null);
  client.onRequest('workspace/diagnostic/refresh', () => null);
  client.listen();
  await client.sendRequest(InitializeRequest.type, {
    processId: null,
    rootUri: FOLDER,
    workspaceFolders: [{ uri: FOLDER, name: 'book' }],
    capabilities,
  });
  await client.sendNotification(InitializedNotification.type, {});
  return {
    client,
    told,
    until: async (holds) => {
      const limit = Date.now() + 5000;
      while (!holds()) {
        if (Date.now() > limit) throw new Error('what was waited for did not come');
        await new Promise((resolve) => setTimeout(resolve, 5));
      }
    },
    open: (uri, text) => client.sendNotification(DidOpenTextDocumentNotification.type, { textDocument: { uri, languageId: 'pour', version: 1, text } }),
    change: (uri, version, { start, end, text }) =>
      client.sendNotification(DidChangeTextDocumentNotification.type, { textDocument: { uri, version }, contentChanges: [{ range: { start, end }, text }] }),
    end: () => client.dispose(),
  };
}
