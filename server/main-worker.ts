/** The language server in a browser worker: the editor reads the files, since a worker has no disk. */
import { BrowserMessageReader, BrowserMessageWriter, createConnection } from 'vscode-languageserver/browser';
import { type LearnReply, learnPort } from './editor/learn-port.ts';
import { serve } from './editor/server.ts';

const worker = self as unknown as Worker;
const connection = createConnection(new BrowserMessageReader(worker), new BrowserMessageWriter(worker));

/** The script of the worker that learns toners; the build puts it in (see .scripts/build.mjs). */
declare const OPTICS_WORKER: string;

const learn = learnPort((onReply, onFailure) => {
  const script = new Blob([OPTICS_WORKER], { type: 'text/javascript' });
  const nested = new Worker(URL.createObjectURL(script));
  nested.onmessage = ({ data }: MessageEvent<LearnReply>) => onReply(data);
  nested.onerror = (event) => onFailure(new Error(event.message || 'the worker could not be started'));
  return { post: (request) => nested.postMessage(request) };
});

serve(connection, {
  learn,
  listFiles: (folder) => connection.sendRequest<string[]>('pourbook/listFiles', { folder }),
  readFile: async (uri) => {
    try {
      const { base64 } = await connection.sendRequest<{ base64: string }>('pourbook/readFile', { uri });
      return Uint8Array.from(atob(base64), (character) => character.charCodeAt(0));
    } catch {
      return undefined;
    }
  },
  pause: () => new Promise((resolve) => setTimeout(resolve, 0)),
});
