/**
 * Formulating against an exhaustive reference: every set of toners refined on the real problem from several starts.
 *
 *   npx tsx tests/bench/formulate.ts [toners] [most] [targets]     default 24 toners, sets of up to 4, 20 targets
 *   npx tsx tests/bench/formulate.ts 40 5 20                       the whole thing: about an hour on one core
 *
 * Prints how far the fast search stays behind (dE00, rms over three lights) and the ratio of the times, both from the
 * same run, then how the time grows from 10 to 60 toners.
 */
import { searchFormulas } from '../../server/paint/formulate.ts';
import { refineParts } from '../../server/paint/formulate-refine.ts';
import {
  differences,
  linearise,
  mixtureReading,
  rootMeanSquare,
  type Target,
} from '../../server/paint/formulate-target.ts';
import { labUnder } from '../../server/paint/light.ts';
import type { TonerOptics } from '../../server/paint/mixture.ts';
import { lights, rounded, surface } from '../published/acrylics-data.ts';
import { Random, reading, simulatedFormula, simulatedToners } from '../server/paint/simulated-book.ts';

const [size = 24, most = 4, targets = 20] = process.argv.slice(2).map(Number);

/** So many toners without the binder. */
function tonersOf(seed: number, wanted: number): TonerOptics[] {
  return simulatedToners(new Random(seed), wanted + 1).filter((toner) => toner.kind !== 'binder');
}

/** Two readings of the shop's own paints to one of another's, as an instrument gives them. */
function readingOf(trial: number): Float64Array {
  const own = simulatedToners(new Random(1), size + 1);
  const other = simulatedToners(new Random(2), size + 1);
  const book = trial % 3 === 2 ? other : own;
  return rounded(reading(book, simulatedFormula(new Random(1000 + trial), book)), 4);
}

/** Least rms dE00 of any set of exactly `most` toners (smaller sets are among them, with parts of 0). */
function exhaustive(toners: readonly TonerOptics[], reflectance: Float64Array, random: Random): number {
  const target: Target = { lights, surface, labs: lights.map((light) => labUnder(light, reflectance)) };
  const linear = linearise(target, reflectance);
  const bounds = Array.from({ length: most }, () => ({ least: 0, most: 1 }));
  const even = bounds.map(() => 1 / most);
  const near: { members: number[]; parts: readonly number[]; value: number }[] = [];
  const walk = (members: number[], from: number): void => {
    if (members.length === most) {
      const set = members.map((i) => toners[i]!);
      const draws = members.map(() => -Math.log(1 - random.uniform()));
      const total = draws.reduce((sum, draw) => sum + draw, 0);
      for (const start of [even, draws.map((draw) => draw / total)]) {
        const { parts, value } = refineParts(linear, set, bounds, start, 20);
        if (near.length < 50 || value < near.at(-1)!.value) {
          near.push({ members: members.slice(), parts, value });
          near.sort((a, b) => a.value - b.value);
          near.length = Math.min(near.length, 50);
        }
      }
      return;
    }
    for (let i = from; i < toners.length; i++) {
      members.push(i);
      walk(members, i + 1);
      members.pop();
    }
  };
  walk([], 0);
  const scores = near.map(({ members, parts }) => {
    const mixture = members.map((toner, i) => ({ toner, share: parts[i]! }));
    return rootMeanSquare(differences(target, mixtureReading(toners, mixture, surface)));
  });
  return Math.min(...scores);
}

function timed<T>(work: () => T): { result: T; ms: number } {
  const begin = performance.now();
  const result = work();
  return { result, ms: performance.now() - begin };
}

const search = (toners: readonly TonerOptics[], reflectance: Float64Array, sets: number): number =>
  searchFormulas({ reading: { reflectance }, toners, surface, lights, tolerance: 1, most: sets })[0]!.rms;

const quantile = (values: readonly number[], p: number): number => {
  const sorted = values.slice().sort((a, b) => a - b);
  return sorted[Math.min(Math.ceil(p * sorted.length), sorted.length) - 1]!;
};

const toners = tonersOf(1, size);
for (let i = 0; i < 3; i++) search(toners, readingOf(i), most); // let the compiler settle
const gaps: number[] = [];
let fast = 0;
let slow = 0;
for (let trial = 0; trial < targets; trial++) {
  const reflectance = readingOf(trial);
  const ours = timed(() => search(toners, reflectance, most));
  const theirs = timed(() => exhaustive(toners, reflectance, new Random(trial)));
  gaps.push(ours.result - theirs.result);
  fast += ours.ms;
  slow += theirs.ms;
}
console.log(`${targets} readings, ${size} toners, sets of up to ${most}, against every set refined from two starts:`);
console.log(
  `  gap dE00 median ${quantile(gaps, 0.5).toFixed(4)}, 95th percentile ${quantile(gaps, 0.95).toFixed(4)}, ` +
    `largest ${Math.max(...gaps).toFixed(4)} (allowed 0.05 at the 95th percentile)`,
);
console.log(
  `  time ${(fast / targets).toFixed(0)} ms against ${(slow / targets).toFixed(0)} ms: 1/${(slow / fast).toFixed(0)} ` +
    '(allowed 1/50)',
);
console.log('growth, sets of up to 5, five readings each:');
for (const wanted of [10, 20, 30, 40, 50, 60, 70]) {
  const many = tonersOf(3, wanted);
  const { ms } = timed(() => {
    for (let trial = 0; trial < 5; trial++) search(many, readingOf(trial), 5);
  });
  console.log(`  ${wanted} toners ${(ms / 5).toFixed(0)} ms${wanted > 60 ? ' (beam)' : ''}`);
}
