import { execFileSync } from 'node:child_process';
import { join } from 'node:path';

/** Packs the extension as `npm run package` does; gives the path of the .vsix. */
export function pack(root: string): string {
  execFileSync('npm', ['run', '--silent', 'package'], {
    cwd: root,
    shell: process.platform === 'win32',
    stdio: ['ignore', 'ignore', 'inherit'],
  });
  return join(root, 'dist/pourbook.vsix');
}
