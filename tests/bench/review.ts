/**
 * Reviewing a change of 500 formulas in a book of 10,000 against `git diff` of the same, both from the command line, taken in turn; then how
 * the time grows with the entries reached and with the book.
 *
 *   ROUNDS=15 npx tsx tests/bench/review.ts
 */
import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';
import { sourcesOfTrees } from '../../server/command/git.ts';
import { review } from '../../server/review/review.ts';
import { openVersions } from '../../server/review/versions.ts';
import { median, ratio, type Timing } from './rounds.ts';

const ROUNDS = Number(process.env.ROUNDS ?? 9);
const PER_FILE = 500;
const folder = mkdtempSync(join(tmpdir(), 'pourbook-bench-'));
const program = join(folder, 'pourbook.cjs');

for (const [from, to] of [
  ['main-start', 'pourbook'],
  ['main-command', 'pourbook-program'],
] as const)
  await build({
    entryPoints: [fileURLToPath(new URL(`../../server/${from}.ts`, import.meta.url))],
    outfile: join(folder, `${to}.cjs`),
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

/** A repository with a book of so many formulas, of which so many change in the second commit: over all files, or side by side. */
function made(formulas: number, changed: number, how: 'spread' | 'together'): Made {
  const path = join(folder, `${formulas}-${changed}-${how}`);
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
  const every = how === 'together' ? 1 : Math.floor(formulas / changed);
  return { path, base, head: write((index) => index % every === 0 && index / every < changed) };
}

interface Run extends Timing {
  readonly cpu: readonly number[];
}

/** Processor time of the processes that this one has waited for, in ms; 0 where the system does not tell. */
function childrenCpu(): number {
  try {
    const fields = readFileSync('/proc/self/stat', 'utf8').split(') ')[1]!.split(' ');
    return (Number(fields[13]) + Number(fields[14])) * 10;
  } catch {
    return 0;
  }
}

/** Command lines in turn, so that a busy machine slows all of them alike. */
function inTurn(path: string, cases: Readonly<Record<string, readonly [string, ...string[]]>>): Record<string, Run> {
  const found = Object.fromEntries(
    Object.keys(cases).map((name) => [name, { rounds: [] as number[], cpu: [] as number[] }]),
  );
  for (let round = -1; round < ROUNDS; round++) {
    for (const [name, [file, ...args]] of Object.entries(cases)) {
      const caches = join(folder, name === COLD ? `cold-${round}` : 'caches');
      const env = { ...process.env, XDG_CACHE_HOME: caches, LOCALAPPDATA: caches, HOME: caches };
      const [since, cpu] = [performance.now(), childrenCpu()];
      execFileSync(file, args, { cwd: path, maxBuffer: 1 << 28, env });
      if (round < 0) continue;
      found[name]!.rounds.push(performance.now() - since);
      found[name]!.cpu.push(childrenCpu() - cpu);
    }
  }
  return found;
}

const WARM = 'pourbook review';
const COLD = 'its first start, nothing kept';
const GIT = 'git diff';

function againstGit({ path, base, head }: Made): number {
  const ours = [process.execPath, program, 'review', `${base}..${head}`] as const;
  const runs = inTurn(path, {
    [GIT]: ['git', 'diff', base, head],
    'git diff --word-diff': ['git', 'diff', '--word-diff', base, head],
    'node -e 0 (the floor)': [process.execPath, '-e', '0'],
    [WARM]: ours,
    [COLD]: ours,
  });
  for (const [name, run] of Object.entries(runs))
    console.log(
      `  ${name.padEnd(30)} ${median(run.rounds).toFixed(0).padStart(6)} ms ${ratio(run, runs[GIT]!).toFixed(1).padStart(6)} times; processor ${mean(run.cpu).toFixed(0).padStart(5)} ms ${(mean(run.cpu) / mean(runs[GIT]!.cpu)).toFixed(1).padStart(6)} times`,
    );
  return ratio(runs[WARM]!, runs[GIT]!);
}

const mean = (values: readonly number[]): number => values.reduce((a, b) => a + b, 0) / values.length;

/** Processor time of this process and those it has waited for, in ms. */
function ownCpu(): number {
  const { user, system } = process.cpuUsage();
  return (user + system) / 1000 + childrenCpu();
}

/** In one process that has done it before, as in an editor or on a server: what Node takes to start does not hide the growth. */
async function inside({ path, base, head }: Made): Promise<{ readonly ours: Run; readonly git: Run }> {
  const ours = { rounds: [] as number[], cpu: [] as number[] };
  const git = { rounds: [] as number[], cpu: [] as number[] };
  const note = (run: typeof ours, since: number, cpu: number) => {
    run.rounds.push(performance.now() - since);
    run.cpu.push(ownCpu() - cpu);
  };
  for (let round = -3; round < ROUNDS; round++) {
    const [since, cpu] = [performance.now(), ownCpu()];
    const versions = [base, head].map((commit) => ({ commit, label: commit }));
    const [before, after] = await sourcesOfTrees(path, '', versions);
    const found = review(await openVersions(before!, after!));
    if (found.formulas.length === 0) throw new Error('the review found nothing');
    if (round >= 0) note(ours, since, cpu);
    const [gitSince, gitCpu] = [performance.now(), ownCpu()];
    execFileSync('git', ['diff', base, head], { cwd: path, maxBuffer: 1 << 28 });
    if (round >= 0) note(git, gitSince, gitCpu);
  }
  return { ours, git };
}

type Sizes = readonly [formulas: number, changed: number];

/** What one more costs, in ms of the clock, by the smallest and the largest of the cases; side by side and spread. */
async function growth(
  title: string,
  cases: readonly Sizes[],
  more: (sizes: Sizes) => number,
): Promise<[number, number]> {
  const slopes: number[] = [];
  for (const how of ['together', 'spread'] as const) {
    const taken: number[] = [];
    console.log(`${title}, ${how === 'together' ? 'side by side' : 'spread over all files'}, in a process that stays:`);
    for (const [formulas, changed] of cases) {
      const one = made(formulas, changed, how);
      const { ours, git } = await inside(one);
      taken.push(median(ours.rounds));
      console.log(
        `  ${changed} of ${formulas}: ${median(ours.rounds).toFixed(0)} ms (processor ${median(ours.cpu).toFixed(0)}), git diff ${median(git.rounds).toFixed(0)} ms: ${ratio(ours, git).toFixed(1)} times`,
      );
      rmSync(one.path, { recursive: true, force: true });
    }
    slopes.push((taken.at(-1)! - taken[0]!) / (more(cases.at(-1)!) - more(cases[0]!)));
  }
  return slopes as [number, number];
}

try {
  console.log(`500 of 10,000 formulas changed, medians of ${ROUNDS}, Node ${process.versions.node}:`);
  const times = againstGit(made(10_000, 500, 'spread'));
  rmSync(join(folder, '10000-500-spread'), { recursive: true, force: true });
  const reached = await growth(
    'Growth with the entries reached',
    [
      [10_000, 50],
      [10_000, 500],
      [10_000, 2000],
    ],
    ([, changed]) => changed,
  );
  const book = await growth(
    'Growth with the book',
    [
      [2_000, 500],
      [10_000, 500],
      [40_000, 500],
    ],
    ([formulas]) => formulas,
  );
  ['side by side', 'spread over all files'].forEach((how, index) => {
    const [own, other] = [reached[index]!, book[index]!];
    console.log(
      `One more entry reached, ${how}: ${(own * 1000).toFixed(0)} us; one more in the book that is not: ${(other * 1000).toFixed(1)} us, 1/${(own / other).toFixed(0)} of it.`,
    );
  });
  console.log('Wanted: at most 10 times git diff; growth with what is reached, not with the book.');
  process.exitCode = times <= 10 ? 0 : 1;
} finally {
  rmSync(folder, { recursive: true, force: true });
}
