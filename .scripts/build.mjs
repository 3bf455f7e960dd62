// Bundles every entry point into dist/. One that is not written yet is named and left out.
import { existsSync } from 'node:fs';
import { chmod } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';

const root = fileURLToPath(new URL('..', import.meta.url));

const node = { platform: 'node', target: 'node20', format: 'cjs' };
const worker = { platform: 'browser', target: 'es2022' };

const bundles = [
  { from: 'client/desktop.ts', to: 'dist/client.cjs', ...node, external: ['vscode'] },
  // Not .cjs: VS Code's worker appends .js to every other ending.
  { from: 'client/web.ts', to: 'dist/client-web.js', ...worker, format: 'cjs', external: ['vscode'] },
  { from: 'server/main-node.ts', to: 'dist/server.cjs', ...node },
  { from: 'server/main-worker.ts', to: 'dist/server-worker.js', ...worker, format: 'iife' },
  { from: 'server/main-command.ts', to: 'dist/pourbook.cjs', ...node, banner: { js: '#!/usr/bin/env node' } },
];

for (const { from, to, ...options } of bundles) {
  if (!existsSync(`${root}/${from}`)) {
    console.log(`build: ${to} skipped: ${from} does not exist yet`);
    continue;
  }
  await build({
    absWorkingDir: root,
    entryPoints: [from],
    outfile: to,
    bundle: true,
    minify: true,
    sourcemap: true,
    legalComments: 'none',
    logLevel: 'warning',
    ...options,
  });
}
if (existsSync(`${root}/dist/pourbook.cjs`)) await chmod(`${root}/dist/pourbook.cjs`, 0o755);
