import { type ExtensionContext, Uri, workspace } from 'vscode';
import {
  BrowserMessageReader,
  BrowserMessageWriter,
  LanguageClient,
  type MessageTransports,
} from 'vscode-languageclient/browser';
import { startPourbook, stopPourbook } from './client.ts';

/** Entry point where the extension host is a browser worker: the server is a worker beside it. */
export function activate(context: ExtensionContext): Promise<void> {
  return startPourbook(
    context,
    (name, options) => new LanguageClient('pourbook', name, () => connectWorker(context), options),
  );
}

export const deactivate = stopPourbook;

let worker: Worker | undefined;

/** The worker is wrapped here because the client library does not know the `Worker` that VS Code puts in its place. */
async function connectWorker(context: ExtensionContext): Promise<MessageTransports> {
  worker?.terminate(); // of the run before a restart, which nobody else ends
  worker = await serverWorker(context);
  return { reader: new BrowserMessageReader(worker), writer: new BrowserMessageWriter(worker) };
}

/** VS Code starts no worker from a `vscode-remote:` address, so there the script is read first. */
async function serverWorker(context: ExtensionContext): Promise<Worker> {
  const script = Uri.joinPath(context.extensionUri, 'dist/server-worker.js');
  if (script.scheme !== 'vscode-remote') return new Worker(script.toString(true));
  const source = new Blob([new Uint8Array(await workspace.fs.readFile(script))], { type: 'text/javascript' });
  return new Worker(URL.createObjectURL(source));
}
