/** `npm run bench [NAME …]`: runs the benchmarks one after the other; each prints ratios against a named alternative and its goal. */
import { spawnSync } from 'node:child_process';
import { readdirSync } from 'node:fs';
import { basename, join } from 'node:path';

/** Parts of benchmarks, not benchmarks. */
const SHARED = new Set(['main', 'library', 'editor', 'rounds', 'colour-library']);

const all = readdirSync(import.meta.dirname)
  .filter((file) => file.endsWith('.ts'))
  .map((file) => basename(file, '.ts'))
  .filter((name) => !SHARED.has(name));
const wanted = process.argv.slice(2);
const unknown = wanted.find((name) => !all.includes(name));
if (unknown) {
  console.error(`There is no benchmark '${unknown}'. There are: ${all.join(', ')}.`);
  process.exit(2);
}
let missed = false;
for (const name of wanted.length > 0 ? wanted : all) {
  console.log(`\n=== ${name}`);
  const { status } = spawnSync('npx', ['--no-install', 'tsx', join(import.meta.dirname, `${name}.ts`)], {
    stdio: 'inherit',
  });
  if (status !== 0) missed = true;
}
process.exitCode = missed ? 1 : 0;
