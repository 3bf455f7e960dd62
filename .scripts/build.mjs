// Bundles every entry point into dist/. One that is not written yet is named and left out.
import { existsSync } from 'node:fs';
import { chmod, copyFile, readdir, readFile, writeFile } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';

const root = fileURLToPath(new URL('..', import.meta.url));

const node = { platform: 'node', target: 'node20', format: 'cjs' };
const worker = { platform: 'browser', target: 'es2022' };

const bundles = [
  { from: 'client/desktop.ts', to: 'dist/client.cjs', ...node, external: ['vscode'] },
  // Not .cjs: VS Code's worker appends .js to every other ending.
  { from: 'client/web.ts', to: 'dist/client-web.js', ...worker, format: 'cjs', external: ['vscode'] },
  { from: 'client/sheet-view.ts', to: 'dist/sheet-view.js', ...worker, format: 'iife' },
  { from: 'client/review-view.ts', to: 'dist/review-view.js', ...worker, format: 'iife' },
  { from: 'server/main-node.ts', to: 'dist/server.cjs', ...node },
  { from: 'server/main-optics-worker.ts', to: 'dist/optics-worker.cjs', ...node },
  {
    from: 'server/main-optics-worker.ts',
    to: 'dist/optics-worker.js',
    ...worker,
    format: 'iife',
    external: ['node:worker_threads'], // asked for in Node only
  },
  // A worker in a browser may not load a second script from where the editor keeps the extension, so it carries it along.
  {
    from: 'server/main-worker.ts',
    to: 'dist/server-worker.js',
    ...worker,
    format: 'iife',
    carries: { OPTICS_WORKER: 'dist/optics-worker.js' },
  },
  { from: 'server/main-command.ts', to: 'dist/pourbook-program.cjs', ...node },
  { from: 'server/main-start.ts', to: 'dist/pourbook.cjs', ...node, banner: { js: '#!/usr/bin/env node' } },
];

// VS Code reads the manifest's words beside the manifest and nowhere else; they are kept with the other translations.
for (const file of await readdir(`${root}/client/l10n`)) {
  if (file.startsWith('package.nls')) await copyFile(`${root}/client/l10n/${file}`, `${root}/${file}`);
}

const bundled = new Set();

for (const { from, to, carries = {}, ...options } of bundles) {
  if (!existsSync(`${root}/${from}`)) {
    console.log(`build: ${to} skipped: ${from} does not exist yet`);
    continue;
  }
  const define = {};
  for (const [name, file] of Object.entries(carries))
    define[name] = JSON.stringify(await readFile(`${root}/${file}`, 'utf8'));
  const { metafile } = await build({
    define,
    absWorkingDir: root,
    entryPoints: [from],
    outfile: to,
    bundle: true,
    minify: true,
    sourcemap: true,
    legalComments: 'none', // the notices below have them all
    metafile: true,
    logLevel: 'warning',
    ...options,
  }).catch(() => process.exit(1)); // esbuild has said what is wrong
  for (const file of Object.keys(metafile.inputs)) {
    const folder = /^(?:.*\/)?node_modules\/(?:@[^/]+\/)?[^/]+/.exec(file)?.[0];
    if (folder) bundled.add(folder);
  }
}
await writeFile(`${root}/dist/third-party-notices.txt`, await notices());
if (existsSync(`${root}/dist/pourbook.cjs`)) await chmod(`${root}/dist/pourbook.cjs`, 0o755);

/** The licence of every npm package that has a part in a bundle. */
async function notices() {
  const parts = [];
  for (const folder of [...bundled].sort()) {
    const { name, version, license } = JSON.parse(await readFile(`${root}/${folder}/package.json`, 'utf8'));
    const file = (await readdir(`${root}/${folder}`)).find((entry) => /^licen[cs]e/i.test(entry));
    const text = file ? await readFile(`${root}/${folder}/${file}`, 'utf8') : `Licence: ${license}`;
    parts.push(`${name} ${version}\n\n${text.trim()}\n`);
  }
  return parts.join(`\n${'-'.repeat(72)}\n\n`);
}
