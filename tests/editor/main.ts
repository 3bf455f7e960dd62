import { cp, mkdir, mkdtemp, readFile, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';
import { ensureCodeServer } from './host/code-server.ts';
import { desktopHost } from './host/desktop.ts';
import type { EditorHost, EditorRun, HostKind } from './host/host.ts';
import { codeServerHost, findChromium } from './host/workbench.ts';
import { type Results, resultsFile } from './suite/results.ts';

const root = fileURLToPath(new URL('../..', import.meta.url));
const say = (line: string) => console.log(line);

/** A desktop VS Code where there is one, else the workbench of code-server in Chromium. */
async function findHost(): Promise<EditorHost> {
  try {
    return await desktopHost();
  } catch (error) {
    say(`Desktop VS Code is not used: ${(error as Error).message}`);
  }
  const chromium = await findChromium();
  return codeServerHost(await ensureCodeServer(say), chromium);
}

async function bundle(entry: string, to: string): Promise<void> {
  await build({
    absWorkingDir: root,
    entryPoints: [entry],
    outfile: to,
    bundle: true,
    platform: 'browser', // what runs in a worker runs in Node as well
    format: 'cjs',
    external: ['vscode'],
    logLevel: 'warning',
  });
}

interface Job {
  title: string;
  kind: HostKind;
  suite: string;
}

const jobs: Job[] = [
  { title: 'extension host in Node', kind: 'node', suite: 'tests/editor/suite/index.ts' },
  { title: 'extension host in a browser worker', kind: 'worker', suite: 'tests/editor/suite/index.ts' },
];

async function runJob(host: EditorHost, job: Job): Promise<Results['tests']> {
  const place = await mkdtemp(join(tmpdir(), 'pourbook-editor-'));
  const run: EditorRun = {
    kind: job.kind,
    workspace: join(place, 'book'),
    extension: root,
    // Outside the extension's folder, whose package.json would make it an ES module.
    suite: join(place, 'suite.js'),
    profile: join(place, 'profile'),
    limitSeconds: 300,
  };
  await mkdir(run.profile, { recursive: true });
  await cp(join(root, 'tests/editor/book'), run.workspace, { recursive: true });
  await bundle(job.suite, run.suite);
  const started = Date.now();
  await host.run(run);
  const results: Results = JSON.parse(await readFile(join(run.workspace, resultsFile), 'utf8'));
  say(`\n${job.title}: VS Code ${results.editor}, ${((Date.now() - started) / 1000).toFixed(1)} s`);
  for (const test of results.tests) {
    say(`  ${test.error ? 'FAILED' : 'passed'}  ${test.title} (${test.milliseconds} ms)`);
    if (test.error) say(test.error.replace(/^/gm, '      '));
  }
  if (results.host !== job.kind) throw new Error(`the extension ran in '${results.host}', not in '${job.kind}'`);
  await rm(place, { recursive: true, force: true });
  return results.tests;
}

async function main(): Promise<void> {
  const host = await findHost();
  say(`Editor tests run in ${host.name}`);
  const tests: Results['tests'] = [];
  for (const job of jobs) tests.push(...(await runJob(host, job)));
  const failed = tests.filter((test) => test.error).length;
  say(`\n${tests.length - failed} passed, ${failed} failed`);
  process.exitCode = failed > 0 ? 1 : 0;
}

await main();
