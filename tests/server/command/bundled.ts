/** The command line as one file, for tests that have git or a shell call it: unbundled it takes seconds to start on a busy machine. */
import { mkdtempSync } from 'node:fs';
import { rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';
import { afterAll, beforeAll } from 'vitest';

const folder = mkdtempSync(join(tmpdir(), 'pourbook-bundle-'));

export const PROGRAM: string = join(folder, 'pourbook.cjs');

/** Without blanks in its paths, so that a recipe may call it without quotes. */
export const COMMAND = `${process.execPath} ${PROGRAM}`;

beforeAll(async () => {
  await build({
    entryPoints: [fileURLToPath(new URL('../../../server/main-command.ts', import.meta.url))],
    outfile: PROGRAM,
    bundle: true,
    platform: 'node',
    target: 'node20',
    format: 'cjs',
    logLevel: 'error',
  });
});

afterAll(() => rm(folder, { recursive: true, force: true }));
