// The README's test command: makes the clone ready, then runs every check there is and says which could not run.
import { spawnSync } from 'node:child_process';
import { existsSync, mkdirSync, readFileSync, rmSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

const root = fileURLToPath(new URL('..', import.meta.url));
const reports = { vitest: 'dist/tests/vitest.json', editor: 'dist/tests/editor.json' };
const steps = [];

function run(command, args, environment = {}) {
  const { status } = spawnSync(command, args, {
    cwd: root,
    stdio: ['ignore', 'inherit', 'inherit'],
    env: { ...process.env, ...environment },
    shell: process.platform === 'win32',
  });
  return status === 0;
}

function step(title, work) {
  console.log(`\n=== ${title}`);
  const started = Date.now();
  const reason = work();
  const seconds = ((Date.now() - started) / 1000).toFixed(0);
  steps.push({ title, failed: reason === false, line: outcome(reason, seconds) });
}

/** A step gives true, false, or in words why it was skipped. */
function outcome(reason, seconds) {
  if (typeof reason === 'string') return `skipped: ${reason}`;
  return `${reason ? 'passed' : 'FAILED'} (${seconds} s)`;
}

const npx = (...args) => run('npx', ['--no-install', ...args]);

/** What the editor tests need where no desktop VS Code can be had. */
function systemPackages() {
  if (process.env.POURBOOK_VSCODE && process.env.POURBOOK_VSCODE !== 'no') return 'POURBOOK_VSCODE names an editor';
  if (process.platform !== 'linux' || !existsSync('/usr/bin/apt-get')) return 'this is not a Debian system';
  const missing = Object.entries({
    chromium: '/usr/bin/chromium',
    ripgrep: '/usr/bin/rg',
    'libkrb5-dev': '/usr/include/krb5.h',
    'g++': '/usr/bin/g++',
    make: '/usr/bin/make',
    python3: '/usr/bin/python3',
  }).flatMap(([name, file]) => (existsSync(file) ? [] : [name]));
  if (missing.length === 0) return 'all are installed';
  if (process.getuid?.() !== 0) return `only root can install them (apt-get install ${missing.join(' ')})`;
  const quiet = { DEBIAN_FRONTEND: 'noninteractive' };
  return (
    run('apt-get', ['update', '-qq'], quiet) &&
    run('apt-get', ['install', '-y', '-qq', '--no-install-recommends', ...missing], quiet)
  );
}

function count(file, read) {
  return existsSync(`${root}/${file}`)
    ? read(JSON.parse(readFileSync(`${root}/${file}`, 'utf8')))
    : { passed: 0, failed: 0 };
}

step('Set-up', () => run(process.execPath, ['.scripts/setup.mjs']));
if (steps.some((each) => each.failed)) process.exit(1);
rmSync(`${root}/dist/tests`, { recursive: true, force: true });
mkdirSync(`${root}/dist/tests`, { recursive: true });

step('Debian packages for the editor tests', systemPackages);
step('Lint, format and import order', () => npx('biome', 'check', '--error-on-warnings'));
step('Types', () => npx('tsc', '-p', '.'));
step('Build', () => run(process.execPath, ['.scripts/build.mjs']));
step('Unit and published-value tests', () =>
  npx(
    'vitest',
    'run',
    '--config',
    'tests/vitest.config.ts',
    '--reporter=default',
    '--reporter=json',
    `--outputFile=${reports.vitest}`,
  ),
);
step('Tests in a real editor', () => {
  const passed = npx('tsx', 'tests/editor/main.ts', '--report', reports.editor);
  const { skipped } = count(reports.editor, (report) => report);
  return skipped && passed ? skipped : passed;
});

const unit = count(reports.vitest, (report) => ({ passed: report.numPassedTests, failed: report.numFailedTests }));
const editor = count(reports.editor, (report) => report);
console.log('\n=== Summary');
for (const { title, line } of steps) console.log(`${title}: ${line}`);
const failedSteps = steps.filter((each) => each.failed).length;
const failed = unit.failed + editor.failed;
console.log(`\n${unit.passed + editor.passed} passed, ${failed} failed`);
process.exitCode = failedSteps > 0 || failed > 0 ? 1 : 0;
