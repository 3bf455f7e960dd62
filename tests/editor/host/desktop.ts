import { spawn } from 'node:child_process';
import { homedir } from 'node:os';
import { join } from 'node:path';
import { downloadAndUnzipVSCode, resolveCliArgsFromVSCodeExecutablePath, runTests } from '@vscode/test-electron';
import type { EditorHost, EditorRun } from './host.ts';

/**
 * A desktop VS Code: the one that `POURBOOK_VSCODE` names, or a downloaded one. Rejects, with the reason, where there
 * is none; `POURBOOK_VSCODE=no` asks for that without trying.
 */
export async function desktopHost(): Promise<EditorHost> {
  const named = process.env.POURBOOK_VSCODE;
  if (named === 'no') throw new Error('POURBOOK_VSCODE is "no"');
  if (process.platform === 'linux' && !process.env.DISPLAY && !process.env.WAYLAND_DISPLAY) {
    throw new Error('there is no display (start under xvfb-run to use a desktop VS Code)');
  }
  const executable = named ?? (await downloaded());
  return {
    name: `desktop VS Code at ${executable}`,
    async run(run: EditorRun) {
      const places = ['--user-data-dir', run.profile, '--extensions-dir', join(run.profile, 'extensions')];
      if (run.vsix) await install(executable, [...places, '--install-extension', run.vsix]);
      const exit = await runTests({
        vscodeExecutablePath: executable,
        extensionDevelopmentPath: run.extension,
        extensionTestsPath: run.suite,
        launchArgs: [
          run.workspace,
          ...places,
          ...(run.vsix ? [] : ['--disable-workspace-trust', '--disable-extensions']),
        ],
      });
      return exit === 0;
    },
  };
}

async function downloaded(): Promise<string> {
  const quiet = { report() {}, error() {} };
  const cachePath = join(homedir(), '.cache', 'pourbook', 'vscode');
  return downloadAndUnzipVSCode({ version: 'stable', cachePath, reporter: quiet, timeout: 15_000 });
}

async function install(executable: string, args: string[]): Promise<void> {
  const [command, ...own] = resolveCliArgsFromVSCodeExecutablePath(executable);
  if (!command) throw new Error(`no command line belongs to ${executable}`);
  await new Promise<void>((resolve, reject) => {
    const child = spawn(command, [...own.filter((arg) => !arg.startsWith('--')), ...args], { stdio: 'ignore' });
    child.on('error', reject);
    child.on('close', (code) => (code === 0 ? resolve() : reject(new Error(`the packed extension: exit ${code}`))));
  });
}
