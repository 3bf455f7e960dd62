import { Disposable, RelativePattern, Uri, workspace } from 'vscode';
import { type BaseLanguageClient, RequestType } from 'vscode-languageclient';

/** `pourbook/listFiles`: every book file of a workspace folder that `files.exclude` does not hide, as URIs. */
const listFiles = new RequestType<{ folder: string }, string[], void>('pourbook/listFiles');

/** `pourbook/readFile`: the bytes of one file as base64, since JSON carries none. */
const readFile = new RequestType<{ uri: string }, { base64: string }, void>('pourbook/readFile');

/**
 * Answers the server's requests for files. A server in a browser worker has no disk, and a workspace may lie in a
 * remote repository: only the editor can read either.
 */
export function answerFileRequests(client: BaseLanguageClient): Disposable {
  return Disposable.from(
    client.onRequest(listFiles, async ({ folder }) => {
      const found = await workspace.findFiles(new RelativePattern(Uri.parse(folder), '**/*.pour'));
      return found.map((uri) => client.code2ProtocolConverter.asUri(uri)).sort();
    }),
    client.onRequest(readFile, async ({ uri }) => {
      const bytes = await workspace.fs.readFile(client.protocol2CodeConverter.asUri(uri));
      return { base64: base64(bytes) };
    }),
  );
}

/** `btoa` is the one encoder that both Node and a browser worker have; it takes one character per byte. */
export function base64(bytes: Uint8Array): string {
  const chunk = 0x8000; // more arguments than this may overflow the call stack
  let binary = '';
  for (let at = 0; at < bytes.length; at += chunk) binary += String.fromCharCode(...bytes.subarray(at, at + chunk));
  return btoa(binary);
}
