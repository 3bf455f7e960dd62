import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { createWriteStream } from 'node:fs';
import { mkdir, writeFile } from 'node:fs/promises';
import { createServer } from 'node:net';
import { join } from 'node:path';
import { type Browser, chromium, type Page } from 'playwright-core';
import { codeServerEntry, codeServerVersion, commandPath } from './code-server.ts';
import type { EditorHost, EditorRun, OpenEditor } from './host.ts';

const chromiumNames = ['chromium', 'chromium-browser', 'google-chrome', 'google-chrome-stable'];

const chromiumArguments = [
  '--no-sandbox',
  '--disable-gpu',
  '--disable-quic',
  '--no-first-run',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
];

/** The path of a Chromium: `POURBOOK_CHROMIUM`, or the first that the system has. */
export async function findChromium(): Promise<string> {
  const named = process.env.POURBOOK_CHROMIUM;
  if (named) return named;
  for (const name of chromiumNames) {
    const path = await commandPath(name).catch(() => undefined);
    if (path) return path;
  }
  throw new Error('no Chromium is installed (Debian: apt-get install chromium)');
}

export interface WorkbenchOptions {
  codeServer: string;
  chromium: string;
  workspace: string;
  profile: string;
  vsix?: string;
  settings?: Record<string, unknown>;
  /** The workbench's start-up pairs; they are given the authority under which the page sees this machine's files. */
  payload?: (remote: string) => [string, string][];
  /** Called before the page is opened. */
  prepare?: (page: Page) => Promise<void>;
  viewport?: { width: number; height: number };
}

export async function openWorkbench(options: WorkbenchOptions): Promise<OpenEditor> {
  const { profile } = options;
  const port = await freePort();
  const extensions = join(profile, 'extensions');
  await mkdir(join(profile, 'User'), { recursive: true });
  await mkdir(extensions, { recursive: true });
  await writeFile(join(profile, 'User/settings.json'), JSON.stringify({ ...quiet, ...options.settings }, null, 2));

  const places = ['--user-data-dir', profile, '--extensions-dir', extensions];
  if (options.vsix) await install(options.codeServer, [...places, '--install-extension', options.vsix]);

  const server = startServer(options.codeServer, profile, [
    ...['--auth', 'none', '--bind-addr', `127.0.0.1:${port}`],
    ...['--disable-telemetry', '--disable-update-check', '--disable-getting-started-override'],
    ...places,
    options.workspace,
  ]);
  let browser: Browser | undefined;
  const close = async () => {
    await browser?.close();
    await stop(server);
  };
  try {
    await answering(`http://127.0.0.1:${port}/healthz`, server);
    browser = await chromium.launch({ executablePath: options.chromium, args: chromiumArguments });
    const page = await browser.newPage({ viewport: options.viewport ?? { width: 1280, height: 800 } });
    await options.prepare?.(page);
    const payload = JSON.stringify(options.payload?.(`vscode-remote://127.0.0.1:${port}`) ?? []);
    const query = new URLSearchParams({ folder: options.workspace, payload });
    await page.goto(`http://127.0.0.1:${port}/?${query}`);
    return { page, close };
  } catch (error) {
    await close();
    throw error;
  }
}

/** Runs extension test modules, and a user's hand, in the workbench that code-server serves. */
export function codeServerHost(codeServer: string, chromiumPath: string): EditorHost {
  return {
    name: `code-server ${codeServerVersion} (VS Code 1.100.3) in Chromium`,
    open: (run) =>
      openWorkbench({
        ...run,
        codeServer,
        chromium: chromiumPath,
        settings: { 'security.workspace.trust.enabled': false, 'files.autoSave': 'off' },
        payload: (remote) => (run.vsix ? [] : [['extensionDevelopmentPath', `${remote}${run.extension}`]]),
      }),
    async run(run: EditorRun) {
      let exit: (passed: boolean) => void = () => {};
      const exited = new Promise<boolean>((resolve) => {
        exit = resolve;
      });
      const log = createWriteStream(join(run.profile, 'console.log'));
      const workbench = await openWorkbench({
        codeServer,
        chromium: chromiumPath,
        workspace: run.workspace,
        profile: run.profile,
        ...(run.vsix ? { vsix: run.vsix } : { settings: { 'security.workspace.trust.enabled': false } }),
        payload: (remote) => [
          ['extensionDevelopmentPath', `${remote}${run.extension}`],
          ['extensionTestsPath', `${remote}${run.suite}`],
        ],
        async prepare(page) {
          await page.exposeFunction('codeAutomationLog', (type: string, args: unknown[]) => {
            log.write(`${type} ${args.join(' ')}\n`);
          });
          await page.exposeFunction('codeAutomationExit', (code: number) => exit(code === 0));
        },
      });
      try {
        return await within(run.limitSeconds, exited);
      } finally {
        await workbench.close();
        log.end();
      }
    },
  };
}

/** Nothing pops up over what is tested or pictured. */
const quiet = {
  'workbench.startupEditor': 'none',
  'workbench.tips.enabled': false,
  'workbench.enableExperiments': false,
  'extensions.autoUpdate': false,
  'extensions.autoCheckUpdates': false,
  'extensions.ignoreRecommendations': true,
  'git.openRepositoryInParentFolders': 'never',
  'chat.commandCenter.enabled': false,
  'telemetry.telemetryLevel': 'off',
};

function startServer(codeServer: string, profile: string, args: string[]): ChildProcess {
  const log = createWriteStream(join(profile, 'server.log'));
  // A group of its own, so that its extension hosts end with it.
  const server = spawn(process.execPath, [codeServerEntry(codeServer), ...args], {
    detached: true,
    stdio: ['ignore', 'pipe', 'pipe'],
    env: { ...process.env, CS_DISABLE_GETTING_STARTED_OVERRIDE: '1', XDG_CONFIG_HOME: profile, XDG_DATA_HOME: profile },
  });
  server.stdout?.pipe(log);
  server.stderr?.pipe(log);
  return server;
}

async function stop(server: ChildProcess): Promise<void> {
  if (server.exitCode !== null || !server.pid) return;
  const ended = once(server, 'exit');
  try {
    process.kill(-server.pid, 'SIGTERM');
  } catch {
    return;
  }
  await Promise.race([ended, new Promise((resolve) => setTimeout(resolve, 5000).unref())]);
  try {
    process.kill(-server.pid, 'SIGKILL');
  } catch {
    // The whole group has ended by itself.
  }
}

async function install(codeServer: string, args: string[]): Promise<void> {
  const child = spawn(process.execPath, [codeServerEntry(codeServer), ...args], { stdio: ['ignore', 'pipe', 'pipe'] });
  let output = '';
  child.stdout.on('data', (text) => (output += text));
  child.stderr.on('data', (text) => (output += text));
  const [code] = await once(child, 'close');
  if (code !== 0) throw new Error(`the packed extension could not be installed:\n${output}`);
}

async function answering(url: string, server: ChildProcess): Promise<void> {
  const last = Date.now() + 30_000;
  while (Date.now() < last) {
    if (server.exitCode !== null) throw new Error(`code-server ended with exit code ${server.exitCode}`);
    if (
      await fetch(url).then(
        (answer) => answer.ok,
        () => false,
      )
    )
      return;
    await new Promise((resolve) => setTimeout(resolve, 100));
  }
  throw new Error('code-server does not answer after 30 s');
}

async function freePort(): Promise<number> {
  const probe = createServer().listen(0, '127.0.0.1');
  await once(probe, 'listening');
  const address = probe.address();
  await new Promise((resolve) => probe.close(resolve));
  if (!address || typeof address === 'string') throw new Error('no free port');
  return address.port;
}

async function within<T>(seconds: number, work: Promise<T>): Promise<T> {
  let timer: NodeJS.Timeout | undefined;
  const late = new Promise<never>((_, reject) => {
    timer = setTimeout(() => reject(new Error(`the editor did not finish within ${seconds} s`)), seconds * 1000);
  });
  return Promise.race([work, late]).finally(() => clearTimeout(timer));
}
