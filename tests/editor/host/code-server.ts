import { spawn } from 'node:child_process';
import { createWriteStream } from 'node:fs';
import { access, cp, lstat, mkdir, rename, rm, symlink, unlink, writeFile } from 'node:fs/promises';
import { homedir } from 'node:os';
import { delimiter, dirname, join } from 'node:path';

/**
 * The last code-server that asks for Node 20; it carries VS Code 1.100.3. Later ones ask for Node 22 and 24,
 * which would make the test suite need another Node than the extension does.
 */
export const codeServerVersion = '4.100.3';

/** Native parts of the server, built one by one so that a failure names its module. */
const nativeModules = ['@vscode/spdlog', '@parcel/watcher', 'native-watchdog', 'kerberos', '@vscode/deviceid'];

export function editorFolder(): string {
  return process.env.POURBOOK_EDITOR_CACHE ?? join(homedir(), '.cache', 'pourbook', `editor-${codeServerVersion}`);
}

export function codeServerEntry(folder: string): string {
  return join(folder, 'node_modules/code-server/out/node/entry.js');
}

/**
 * The folder of a working code-server, installed on first use (one to three minutes, 320 MB) and kept for later runs.
 * The package's own postinstall cannot be used: it refuses to run as root under npm 11 and downloads what some
 * networks refuse, so its steps are done here with npm alone.
 */
export async function ensureCodeServer(say: (line: string) => void): Promise<string> {
  const folder = editorFolder();
  if (await exists(join(folder, 'ready'))) return folder;
  say(`Installing code-server ${codeServerVersion} (once, some two minutes) into ${folder}`);
  const making = `${folder}.making-${process.pid}`;
  await mkdir(making, { recursive: true });
  try {
    await install(making, say);
    await writeFile(join(making, 'ready'), `${codeServerVersion}\n`);
    await rm(folder, { recursive: true, force: true });
    await rename(making, folder);
  } catch (error) {
    const log = `${folder}.log`;
    await cp(join(making, 'install.log'), log).catch(() => {});
    await rm(making, { recursive: true, force: true });
    throw new Error(`${(error as Error).message} (see ${log})`);
  }
  return folder;
}

async function install(folder: string, say: (line: string) => void): Promise<void> {
  const log = createWriteStream(join(folder, 'install.log'));
  const npm = (at: string, ...args: string[]) => {
    say(`  npm ${args.join(' ')}`);
    return run('npm', [...args, '--no-audit', '--no-fund', '--loglevel=error'], at, log);
  };
  const tolerated = async (step: Promise<void>) =>
    step.catch((error: Error) => log.write(`tolerated: ${error.message}\n`));

  await writeFile(join(folder, 'package.json'), '{ "private": true }\n');
  await npm(folder, 'install', '--ignore-scripts', `code-server@${codeServerVersion}`);
  const server = join(folder, 'node_modules/code-server');
  const vscode = join(server, 'lib/vscode');
  await npm(folder, 'rebuild', 'argon2', '--build-from-source');
  await npm(vscode, 'install', '--omit=dev', '--ignore-scripts');
  for (const name of nativeModules) await npm(vscode, 'rebuild', name);
  // node-pty builds its library and then fails in a step that only serves its own developers.
  await tolerated(npm(vscode, 'rebuild', 'node-pty'));
  await access(join(vscode, 'node_modules/node-pty/build/Release/pty.node'));
  await npm(join(vscode, 'extensions'), 'install', '--omit=dev', '--ignore-scripts');

  await link('node_modules', join(vscode, 'node_modules.asar'));
  await link(await commandPath('rg'), join(vscode, 'node_modules/@vscode/ripgrep/bin/rg'));
  await link('code-linux.sh', join(vscode, 'bin/remote-cli/code-server'));
  await link('browser-linux.sh', join(vscode, 'bin/helpers/browser.sh'));
  log.end();
}

async function run(command: string, args: string[], cwd: string, log: NodeJS.WritableStream): Promise<void> {
  log.write(`\n$ (cd ${cwd}; ${command} ${args.join(' ')})\n`);
  await new Promise<void>((resolve, reject) => {
    const child = spawn(command, args, { cwd, stdio: ['ignore', 'pipe', 'pipe'] });
    child.stdout.pipe(log, { end: false });
    child.stderr.pipe(log, { end: false });
    child.on('error', reject);
    child.on('close', (code) =>
      code === 0 ? resolve() : reject(new Error(`${command} ${args.join(' ')}: exit ${code}`)),
    );
  });
}

async function link(target: string, at: string): Promise<void> {
  await mkdir(dirname(at), { recursive: true });
  if (await lstat(at).catch(() => undefined)) await unlink(at);
  await symlink(target, at);
}

export async function commandPath(name: string): Promise<string> {
  for (const folder of (process.env.PATH ?? '').split(delimiter)) {
    const path = join(folder, name);
    if (await exists(path)) return path;
  }
  throw new Error(`'${name}' is not installed`);
}

export async function exists(path: string): Promise<boolean> {
  return access(path).then(
    () => true,
    () => false,
  );
}
