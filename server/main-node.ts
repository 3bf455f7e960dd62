/** The language server in Node: files from the disk. */
import { readdir, readFile } from 'node:fs/promises';
import { setImmediate } from 'node:timers/promises';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { createConnection, ProposedFeatures } from 'vscode-languageserver/node';
import { pourFiles } from './command/load.ts';
import { serve } from './editor/server.ts';

const connection = createConnection(ProposedFeatures.all);

serve(connection, {
  listFiles: async (folder) => {
    if (!folder.startsWith('file:')) return [];
    const path = fileURLToPath(folder);
    await readdir(path); // a folder that cannot be read is an error worth a log line
    return (await pourFiles(path)).map((file) => pathToFileURL(file).href);
  },
  readFile: (uri) =>
    uri.startsWith('file:') ? readFile(fileURLToPath(uri)).catch(() => undefined) : Promise.resolve(undefined),
  pause: () => setImmediate(),
});
