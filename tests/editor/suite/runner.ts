import { Uri, version, workspace } from 'vscode';
import { type Results, resultsFile } from './results.ts';

interface Test {
  title: string;
  body: () => Promise<void>;
}

const tests: Test[] = [];

/**
 * Names one test of the editor suite. The runner is our own because the well-known ones need either Node or a page,
 * and the suite runs in Node and in a worker without one.
 */
export function test(title: string, body: () => Promise<void>): void {
  tests.push({ title, body });
}

/**
 * Runs the tests one after another. The results go into the workspace folder after each of them, so that an editor that
 * hangs tells how far it came. Rejects when one has failed.
 */
export async function runTests(): Promise<void> {
  const folder = workspace.workspaceFolders?.[0]?.uri;
  if (!folder) throw new Error('the editor has opened no folder');
  const file = Uri.joinPath(folder, resultsFile);
  const results: Results = {
    host: typeof process === 'undefined' ? 'worker' : 'node',
    editor: version,
    planned: tests.length,
    tests: [],
  };
  for (const each of tests) {
    results.tests.push(await runTest(each));
    await workspace.fs.writeFile(file, new TextEncoder().encode(JSON.stringify(results)));
  }
  if (tests.length === 0) throw new Error('the suite has no tests');
  const failed = results.tests.filter((result) => result.error !== undefined);
  if (failed.length > 0) throw new Error(`${failed.length} failed`);
}

async function runTest({ title, body }: Test): Promise<Results['tests'][number]> {
  const started = Date.now();
  try {
    await within(40, body());
    return { title, milliseconds: Date.now() - started };
  } catch (error) {
    const text = error instanceof Error ? (error.stack ?? error.message) : String(error);
    return { title, milliseconds: Date.now() - started, error: text };
  }
}

async function within(seconds: number, work: Promise<void>): Promise<void> {
  let timer: ReturnType<typeof setTimeout> | undefined;
  const late = new Promise<never>((_, reject) => {
    timer = setTimeout(() => reject(new Error(`not finished within ${seconds} s`)), seconds * 1000);
  });
  return Promise.race([work, late]).finally(() => clearTimeout(timer));
}
