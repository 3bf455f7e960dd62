/** The language server in Node: files from the disk. */
import { existsSync, realpathSync } from 'node:fs';
import { readdir, readFile } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import { setImmediate } from 'node:timers/promises';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { Worker } from 'node:worker_threads';
import { createConnection, ProposedFeatures } from 'vscode-languageserver/node';
import { pourFiles } from './command/pour-files.ts';
import { learnPort } from './editor/learn-port.ts';
import { serve } from './editor/server.ts';

const connection = createConnection(ProposedFeatures.all);

/** The worker is bundled beside the program that was started. */
const workerFile = join(dirname(realpathSync(process.argv[1] ?? '.')), 'optics-worker.cjs');

const learn = learnPort((onReply, onFailure) => {
  const worker = new Worker(workerFile);
  worker.unref(); // an editor that closes does not wait for it
  worker.on('message', onReply).on('error', onFailure);
  return { post: (request) => worker.postMessage(request) };
});

serve(connection, {
  ...(existsSync(workerFile) ? { learn } : {}),
  listFiles: async (folder) => {
    if (!folder.startsWith('file:')) return [];
    const path = fileURLToPath(folder);
    await readdir(path); // a folder that cannot be read is an error worth a log line
    const found = await pourFiles(path, (error) => {
      connection.console.warn(`passed over: ${String(error)}`);
      return [];
    });
    return found.map((file) => pathToFileURL(file).href);
  },
  readFile: (uri) =>
    uri.startsWith('file:') ? readFile(fileURLToPath(uri)).catch(() => undefined) : Promise.resolve(undefined),
  pause: () => setImmediate(),
});
