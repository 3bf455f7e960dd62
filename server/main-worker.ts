/** The language server in a browser worker: the editor reads the files, since a worker has no disk. */
import { BrowserMessageReader, BrowserMessageWriter, createConnection } from 'vscode-languageserver/browser';
import { serve } from './editor/server.ts';

const worker = self as unknown as Worker;
const connection = createConnection(new BrowserMessageReader(worker), new BrowserMessageWriter(worker));

serve(connection, {
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
