/**
 * Reviewing a change of 500 formulas in a book of 10,000 against `git diff` of the same, both from the command line, medians of runs taken
 * in turn; and how the time grows with the entries reached and with the book.
 */
import { execFileSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';
import { sourceOfTree } from '../../server/command/git.ts';
import { review } from '../../server/review/review.ts';
import { openVersions } from '../../server/review/versions.ts';

const ROUNDS = Number(process.env.ROUNDS ?? 7);
const PER_FILE = 500;
const folder = mkdtempSync(join(tmpdir(), 'pourbook-bench-'));
const program = join(folder, 'pourbook.cjs');

await build({
  entryPoints: [fileURLToPath(new URL('../../server/main-command.ts', import.meta.url))],
  outfile: program,
  bundle: true,
  minify: true,
  platform: 'node',
  target: 'node20',
  format: 'cjs',
  logLevel: 'error',
});

const SHELF = ['BLK-1', 'WHT-1', 'GRN-2', 'ALU-C', 'BND-0'];

const formula = (index: number, black: number): string =>
  `formula F-${index} "Colour ${index}"
  maker        Marram
  code         colour-${index}
  system       WB
  finish       solid
  status       trial
  undercoat    SEAL grey N5
  target weight 250 g as poured
  toner GRN-2  ${(20 + (index % 40)).toFixed(2)}
  toner ALU-C  22.60
  toner BLK-1   ${black.toFixed(2)}
  toner BND-0  34.95
`;

interface Made {
  readonly path: string;
  readonly base: string;
  readonly head: string;
}

/** A repository with a book of so many formulas, of which so many change from the first commit to the second. */
function made(formulas: number, changed: number): Made {
  const path = join(folder, `${formulas}-${changed}`);
  const git = (...args: string[]) =>
    execFileSync('git', ['-c', 'user.name=R', '-c', 'user.email=r@saltmarsh.example', ...args], { cwd: path })
      .toString()
      .trim();
  execFileSync('git', ['init', '-q', path]);
  writeFileSync(
    join(path, 'book.pour'),
    'book "Saltmarsh Coachworks"\n  language 1\n  scale 0.1 g\n  illuminants D65/10\n',
  );
  writeFileSync(
    join(path, 'toners.pour'),
    `system WB "w"\nundercoat SEAL "s"\n  grey N9 toner WHT-1 100\n  grey N2 toner BLK-1 100\n${SHELF.map((code) => `toner ${code} "${code}"\n  system WB\n  price 40 EUR/kg\n`).join('\n')}`,
  );
  const write = (isChanged: (index: number) => boolean) => {
    for (let from = 0; from < formulas; from += PER_FILE) {
      const own = Array.from({ length: Math.min(PER_FILE, formulas - from) }, (_, index) => from + index);
      writeFileSync(
        join(path, `f${from}.pour`),
        own.map((index) => formula(index, isChanged(index) ? 1.65 : 1.25)).join('\n'),
      );
    }
    git('add', '-A');
    git('commit', '-q', '-m', 'c');
    return git('rev-parse', 'HEAD');
  };
  const base = write(() => false);
  const every = Math.floor(formulas / changed);
  return { path, base, head: write((index) => index % every === 0 && index / every < changed) };
}

function once(run: () => void): number {
  const since = performance.now();
  run();
  return performance.now() - since;
}

const median = (times: number[]): number => times.sort((a, b) => a - b)[times.length >> 1]!;

function againstGit({ path, base, head }: Made): { ours: number; git: number; start: number } {
  const times = { ours: [] as number[], git: [] as number[], start: [] as number[] };
  const options = { cwd: path, maxBuffer: 1 << 28 };
  for (let round = -1; round < ROUNDS; round++) {
    const git = once(() => execFileSync('git', ['diff', `${base}..${head}`], options));
    const ours = once(() => execFileSync(process.execPath, [program, 'review', `${base}..${head}`], options));
    const start = once(() => execFileSync(process.execPath, [program, '--help'], options));
    if (round < 0) continue;
    times.ours.push(ours);
    times.git.push(git);
    times.start.push(start);
  }
  return { ours: median(times.ours), git: median(times.git), start: median(times.start) };
}

/** In one process, so that what Node takes to start does not hide the growth. */
async function inside({ path, base, head }: Made): Promise<number> {
  const times: number[] = [];
  for (let round = -2; round < ROUNDS; round++) {
    const since = performance.now();
    const before = await sourceOfTree(path, '', base, 'base');
    const found = review(await openVersions(before, await sourceOfTree(path, '', head, 'head', before)));
    if (found.formulas.length === 0) throw new Error('the review found nothing');
    if (round >= 0) times.push(performance.now() - since);
  }
  return median(times);
}

try {
  const large = made(10_000, 500);
  const { ours, git, start } = againstGit(large);
  const ratio = ours / git;
  console.log(`500 of 10,000 formulas changed, medians of ${ROUNDS}:`);
  console.log(
    `  pourbook review ${ours.toFixed(0)} ms (of which ${start.toFixed(0)} ms start Node), git diff ${git.toFixed(0)} ms: ${ratio.toFixed(1)} times`,
  );
  const cases = [
    ['100 changed of 10,000', made(10_000, 100)],
    ['500 changed of 10,000', large],
    ['1,000 changed of 10,000', made(10_000, 1000)],
    ['500 changed of 2,500', made(2_500, 500)],
  ] as const;
  console.log('In one process, reading both versions included:');
  for (const [name, one] of cases) console.log(`  ${name}: ${(await inside(one)).toFixed(0)} ms`);
  console.log('Wanted: at most 10 times git diff; growth with what is changed, not with the book.');
  process.exitCode = ratio <= 10 ? 0 : 1;
} finally {
  rmSync(folder, { recursive: true, force: true });
}
