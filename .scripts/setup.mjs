// Makes a fresh clone ready to build: installs the npm packages when they are missing or older than the lock file.
// Uses nothing but Node and npm, because at this point nothing else is there.
import { spawnSync } from 'node:child_process';
import { statSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

const root = fileURLToPath(new URL('..', import.meta.url));

function changed(file) {
  return statSync(`${root}/${file}`, { throwIfNoEntry: false })?.mtimeMs ?? 0;
}

const major = Number(process.versions.node.split('.')[0]);
if (major < 20) {
  console.error(`Pourbook needs Node 20 or later; this is Node ${process.versions.node}.`);
  process.exit(1);
}

// npm writes this file at the end of every install, so a broken-off install is done again.
if (changed('node_modules/.package-lock.json') < changed('package-lock.json')) {
  console.log('Set-up: installing the npm packages (npm ci)');
  const npm = process.platform === 'win32' ? 'npm.cmd' : 'npm';
  const flags = ['--no-audit', '--no-fund', '--loglevel=error'];
  const { status } = spawnSync(npm, ['ci', ...flags], {
    cwd: root,
    stdio: 'inherit',
    shell: process.platform === 'win32',
  });
  if (status !== 0) {
    console.error('Set-up failed: npm could not install the packages named in package-lock.json.');
    process.exit(1);
  }
}
