/** The language server in a browser worker: the editor reads the files, since a worker has no disk. */
import { BrowserMessageReader, BrowserMessageWriter, createConnection } from 'vscode-languageserver/browser';
import { clientFiles } from './editor/client-files.ts';
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
  ...clientFiles(connection),
  pause: () => new Promise((resolve) => setTimeout(resolve, 0)),
});
