/** Runs the command line in a folder of its own. */
import { mkdir, mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { afterEach } from 'vitest';
import { run } from '../../../server/command/program.ts';
import type { ExitCode, Output } from '../../../server/command/verb.ts';

const made: string[] = [];

afterEach(async () => {
  for (const folder of made.splice(0)) await rm(folder, { recursive: true, force: true });
});

/** A folder with these files. */
export async function folderOf(files: Readonly<Record<string, string | Uint8Array>>): Promise<string> {
  const folder = await mkdtemp(join(tmpdir(), 'pourbook-test-'));
  made.push(folder);
  for (const [name, content] of Object.entries(files)) {
    await mkdir(dirname(join(folder, name)), { recursive: true });
    await writeFile(join(folder, name), content);
  }
  return folder;
}

export interface Ran {
  readonly code: ExitCode;
  readonly out: string;
  readonly err: string;
}

export async function pourbook(folder: string, ...args: string[]): Promise<Ran> {
  const [out, err]: [string[], string[]] = [[], []];
  const output: Output = {
    out: (text) => out.push(text),
    err: (text) => err.push(text),
    folder,
    serve: () => Promise.reject(new Error('not here')),
    exitCode: 0,
  };
  const code = await run(args, output);
  return { code, out: out.join('\n'), err: err.join('\n') };
}
