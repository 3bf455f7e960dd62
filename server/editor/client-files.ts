/**
 * Files through the editor: a server in a browser has no disk, a folder may lie in a remote repository, and only the editor knows which
 * files its user has hidden.
 */
import type { Connection } from 'vscode-languageserver';
import type { Ports } from './ports.ts';

export type Files = Pick<Ports, 'listFiles' | 'readFile'>;

export const clientFiles = (connection: Connection): Files => ({
  listFiles: (folder) => connection.sendRequest<string[]>('pourbook/listFiles', { folder }),
  readFile: async (uri) => {
    try {
      const { base64 } = await connection.sendRequest<{ base64: string }>('pourbook/readFile', { uri });
      return Uint8Array.from(atob(base64), (character) => character.charCodeAt(0));
    } catch {
      return undefined;
    }
  },
});

/** The editor lists and reads what is not on the disk; the disk is read directly, and listed where the editor cannot. */
export const withClientFiles = (disk: Files, client: Files): Files => ({
  listFiles: (folder) => client.listFiles(folder).catch(() => disk.listFiles(folder)),
  readFile: (uri) => (uri.startsWith('file:') ? disk.readFile(uri) : client.readFile(uri)),
});
