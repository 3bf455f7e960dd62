import { existsSync } from 'node:fs';
import { cp, mkdir, mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { build } from 'esbuild';
import type { Page } from 'playwright-core';
import { reviewTests } from './hand/review.ts';
import { runByHand } from './hand/run.ts';
import { sheetTests } from './hand/sheet.ts';
import { ensureCodeServer } from './host/code-server.ts';
import { desktopHost } from './host/desktop.ts';
import type { EditorHost, HostKind } from './host/host.ts';
import { codeServerHost, findChromium } from './host/workbench.ts';
import { pack } from './pack.ts';
import { commitAll } from './repository.ts';
import { type Results, resultsFile } from './suite/results.ts';

const root = fileURLToPath(new URL('../..', import.meta.url));
const say = (line: string) => console.log(line);
const { values: options } = parseArgs({ options: { report: { type: 'string' }, only: { type: 'string' } } });

interface Job {
  name: string;
  title: string;
  kind: HostKind;
  suite: string;
  /** Whether the packed extension is tested, not the folder. */
  packed?: boolean;
}

const jobs: Job[] = [
  { name: 'node', title: 'extension host in Node', kind: 'node', suite: 'index.ts' },
  { name: 'worker', title: 'extension host in a browser worker', kind: 'worker', suite: 'index.ts' },
  { name: 'packed', title: 'packed extension, untrusted folder', kind: 'node', suite: 'packed.ts', packed: true },
];

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

/**
 * Lays the extension out in a folder of its own, together with the suite: VS Code runs a test module in the host of the
 * extension that contains it, and would take its .js for an ES module under our own manifest. Without `main` the
 * extension can only run in a worker. Beside the packed extension, which has the manifest as it is, the folder holds
 * nothing but the suite.
 */
async function layOut(extension: string, job: Job): Promise<string> {
  const { type: _, main, ...manifest } = JSON.parse(await readFile(join(root, 'package.json'), 'utf8'));
  let own = job.kind === 'node' ? { ...manifest, main } : manifest;
  if (job.packed) {
    own = { name: 'only-the-suite', publisher: 'pourbook', version: '0.0.1', engines: manifest.engines };
  } else {
    for (const part of ['dist', 'grammar', 'client', 'package.nls.json']) {
      await cp(join(root, part), join(extension, part), { recursive: true });
    }
  }
  await mkdir(extension, { recursive: true });
  await writeFile(join(extension, 'package.json'), JSON.stringify(own, null, 2));
  const suite = join(extension, 'suite.js');
  await build({
    absWorkingDir: join(root, 'tests/editor/suite'),
    entryPoints: [job.suite],
    outfile: suite,
    bundle: true,
    platform: 'browser', // what runs in a worker runs in Node as well
    format: 'cjs',
    external: ['vscode'],
    logLevel: 'warning',
  });
  return suite;
}

const counts = { passed: 0, failed: 0 };

async function runJob(host: EditorHost, job: Job): Promise<void> {
  say(`\n${job.title}`);
  const started = Date.now();
  const place = await mkdtemp(join(tmpdir(), 'pourbook-editor-'));
  const [workspace, extension, profile] = ['book', 'extension', 'profile'].map((name) => join(place, name));
  if (!workspace || !extension || !profile) throw new Error('unreachable');
  await mkdir(profile);
  await cp(join(root, 'tests/editor/book'), workspace, { recursive: true });
  commitAll(workspace);
  const suite = await layOut(extension, job);
  const vsix = job.packed ? { vsix: pack(root) } : {};
  const hung = await host.run({ workspace, extension, profile, suite, ...vsix, limitSeconds: 240 }).then(
    () => undefined,
    (error: Error) => error.message,
  );
  const results = await readResults(workspace);
  tell(results?.tests ?? []);
  if (!results) throw new Error(`${hung ?? 'the suite was not run'}; the editor's logs are in ${profile}`);
  say(`  VS Code ${results.editor}, ${((Date.now() - started) / 1000).toFixed(1)} s`);
  if (results.host !== job.kind) throw new Error(`the extension ran in '${results.host}', not in '${job.kind}'`);
  const left = results.planned - results.tests.length;
  if (left > 0)
    throw new Error(`${hung ?? 'the editor ended'}: ${left} tests were not run; its logs are in ${profile}`);
  await byHand(host, job.kind, { workspace, extension, profile: join(place, 'hand'), ...vsix });
  await rm(place, { recursive: true, force: true });
}

function tell(tests: Results['tests']): void {
  for (const test of tests) {
    say(`  ${test.error ? 'FAILED' : 'passed'}  ${test.title} (${test.milliseconds} ms)`);
    if (test.error) say(test.error.replace(/^/gm, '      '));
  }
  counts.passed += tests.filter((test) => !test.error).length;
  counts.failed += tests.filter((test) => test.error).length;
}

/** What only a user sees, in a second window on the same book. */
async function byHand(
  host: EditorHost,
  kind: HostKind,
  run: Parameters<NonNullable<EditorHost['open']>>[0],
): Promise<void> {
  if (!host.open) return say('  panels were not tried: a desktop window has no page that can be driven');
  const openWindow = host.open.bind(host);
  let windows = 0;
  // Each with a profile of its own, or unsaved text of the window before would come back.
  const open = async () => {
    await cp(join(root, 'tests/editor/book'), run.workspace, { recursive: true });
    return openWindow({ ...run, profile: `${run.profile}-${++windows}` });
  };
  const picture = async (page: Page, title: string) => {
    const path = join(root, 'dist/tests', `${kind} ${title.slice(0, 40)}.png`);
    await page.screenshot({ path }).catch(() => undefined);
    say(`  once more: ${title}; how it looked is in ${path}`);
  };
  // A window for each panel: what one leaves behind is not in the way of the other.
  for (const tests of [reviewTests(kind), sheetTests]) tell(await runByHand(open, tests, picture));
}

async function readResults(workspace: string): Promise<Results | undefined> {
  const file = join(workspace, resultsFile);
  return existsSync(file) ? JSON.parse(await readFile(file, 'utf8')) : undefined;
}

/** The counts for `npm test`; `skipped` says why nothing could run. */
async function report(counts: { passed: number; failed: number; skipped?: string }): Promise<void> {
  if (!options.report) return;
  const file = join(root, options.report);
  await mkdir(dirname(file), { recursive: true });
  await writeFile(file, JSON.stringify(counts));
}

async function main(): Promise<void> {
  let host: EditorHost;
  try {
    host = await findHost();
  } catch (error) {
    const reason = `no editor can be had here: ${(error as Error).message}`;
    say(`SKIPPED: ${reason}`);
    await report({ passed: 0, failed: 0, skipped: reason });
    process.exitCode = process.env.POURBOOK_REQUIRE_EDITOR ? 1 : 0;
    return;
  }
  say(`Editor tests run in ${host.name}`);
  for (const job of jobs.filter(({ name }) => !options.only || options.only === name)) {
    try {
      await runJob(host, job);
    } catch (error) {
      say(`  FAILED  ${(error as Error).message}`);
      counts.failed += 1;
    }
  }
  await report(counts);
  say(`\n${counts.passed} passed, ${counts.failed} failed`);
  process.exitCode = counts.failed > 0 ? 1 : 0;
}

await main();
