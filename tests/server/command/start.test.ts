/** The command line starts from what an earlier start compiled, and never depends on it. */
import { isAscii } from 'node:buffer';
import { execFileSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';
import { afterAll, beforeAll, beforeEach, expect, it } from 'vitest';
import { FORMULA, SHOP } from './small-book.ts';

const folder = mkdtempSync(join(tmpdir(), 'pourbook-start-'));
const caches = join(folder, 'caches');
const kept = join(caches, process.platform === 'darwin' ? 'Library/Caches' : '', 'pourbook');

beforeAll(async () => {
  for (const [from, to] of [
    ['main-start', 'pourbook'],
    ['main-command', 'pourbook-program'],
  ] as const)
    await build({
      entryPoints: [fileURLToPath(new URL(`../../../server/${from}.ts`, import.meta.url))],
      outfile: join(folder, `${to}.cjs`),
      bundle: true,
      platform: 'node',
      target: 'node20',
      format: 'cjs',
      logLevel: 'error',
    });
  mkdirSync(join(folder, 'book'));
  writeFileSync(join(folder, 'book', 'a.pour'), `${SHOP}\n${FORMULA}`);
});

beforeEach(() => rm(caches, { recursive: true, force: true }));
afterAll(() => rm(folder, { recursive: true, force: true }));

/** What is written to both outputs, so that a warning of the engine shows. */
function pourbook(...args: string[]): string {
  const env = { ...process.env, XDG_CACHE_HOME: caches, LOCALAPPDATA: caches, HOME: caches };
  const program = join(folder, 'pourbook.cjs');
  return execFileSync(process.execPath, [program, ...args, '--book', join(folder, 'book')], { env }).toString();
}

const shown = () => pourbook('show', 'GUL-2', '--json');

it('keeps one file for each verb, and says the same with it', () => {
  const first = shown();
  expect(first).toContain('GUL-2');
  expect(readdirSync(kept)).toEqual([expect.stringMatching(/^show-[0-9a-f]{16}\.compiled$/)]);
  const written = readFileSync(join(kept, readdirSync(kept)[0]!));
  expect(shown()).toBe(first);
  expect(readFileSync(join(kept, readdirSync(kept)[0]!)).equals(written)).toBe(true);
});

it('is a program of plain ASCII, which is read several times as fast', () => {
  expect(isAscii(readFileSync(join(folder, 'pourbook-program.cjs')))).toBe(true);
});

it('starts from a damaged file, another version of the program, and no place at all', () => {
  const first = shown();
  const file = join(kept, readdirSync(kept)[0]!);
  const whole = readFileSync(file);
  for (const damaged of [
    Buffer.alloc(0),
    Buffer.from('nothing'),
    whole.subarray(0, whole.length >> 1),
    Buffer.concat([whole.subarray(0, 100), Buffer.alloc(whole.length - 100)]),
    Buffer.concat([Buffer.alloc(20), whole.subarray(20)]),
  ]) {
    writeFileSync(file, damaged);
    expect(shown()).toBe(first);
    expect(readFileSync(file).length).toBeGreaterThan(whole.length >> 1);
  }
  writeFileSync(join(folder, 'a-file'), '');
  const env = { ...process.env, XDG_CACHE_HOME: join(folder, 'a-file'), LOCALAPPDATA: join(folder, 'a-file') };
  const program = join(folder, 'pourbook.cjs');
  const args = [program, 'show', 'GUL-2', '--json', '--book', join(folder, 'book')];
  expect(execFileSync(process.execPath, args, { env }).toString()).toBe(first);
});
