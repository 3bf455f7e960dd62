/**
 * Formulating against an exhaustive reference: every set of toners refined on the real problem from several starts. Sets of five
 * are held besides against a reference that shares nothing with the search but the paint: every set brought to the least true
 * dE00 by a simplex search from an even mixture.
 *
 *   npx tsx tests/bench/formulate.ts                               sets of up to 4 of 24 toners, then of up to 5 of 16
 *   npx tsx tests/bench/formulate.ts [toners] [most] [targets]     default 20 targets
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

/** So many toners without the binder. */
function tonersOf(seed: number, wanted: number): TonerOptics[] {
  return simulatedToners(new Random(seed), wanted + 1).filter((toner) => toner.kind !== 'binder');
}

/** Two readings of the shop's own paints to one of another's, as an instrument gives them. */
function readingOf(size: number, trial: number): Float64Array {
  const own = simulatedToners(new Random(1), size + 1);
  const other = simulatedToners(new Random(2), size + 1);
  const book = trial % 3 === 2 ? other : own;
  return rounded(reading(book, simulatedFormula(new Random(1000 + trial), book)), 4);
}

type Reference = (toners: readonly TonerOptics[], reflectance: Float64Array, most: number, random: Random) => number;

/** Least rms dE00 of any set of exactly `most` toners (smaller sets are among them, with parts of 0). */
function refined(toners: readonly TonerOptics[], reflectance: Float64Array, most: number, random: Random): number {
  const target: Target = { lights, surface, labs: lights.map((light) => labUnder(light, reflectance)) };
  const linear = linearise(target, reflectance);
  const bounds = Array.from({ length: most }, () => ({ least: 0, most: 1 }));
  const even = bounds.map(() => 1 / most);
  const near: { members: number[]; parts: readonly number[]; value: number }[] = [];
  for (const members of setsOf(toners.length, most)) {
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
  }
  const scores = near.map(({ members, parts }) => {
    const mixture = members.map((toner, i) => ({ toner, share: parts[i]! }));
    return rootMeanSquare(differences(target, mixtureReading(toners, mixture, surface)));
  });
  return Math.min(...scores);
}

/** All sets of so many of the first `size` numbers; the list is used again. */
function* setsOf(size: number, most: number, members: number[] = [], from = 0): Generator<readonly number[]> {
  if (members.length === most) {
    yield members;
    return;
  }
  for (let i = from; i < size; i++) {
    members.push(i);
    yield* setsOf(size, most, members, i + 1);
    members.pop();
  }
}

/** Least rms dE00 of any set of `most` toners, each brought there by a simplex search on the colour difference itself. */
function direct(toners: readonly TonerOptics[], reflectance: Float64Array, most: number): number {
  const target: Target = { lights, surface, labs: lights.map((light) => labUnder(light, reflectance)) };
  let least = Number.POSITIVE_INFINITY;
  for (const members of setsOf(toners.length, most)) {
    const off = (x: readonly number[]): number => {
      // squares, so that a part may come to nothing
      const squares = [...x.map((one) => one * one), 1];
      const total = squares.reduce((sum, one) => sum + one, 0);
      const shares = members.map((toner, i) => ({ toner, share: squares[i]! / total }));
      return rootMeanSquare(differences(target, mixtureReading(toners, shares, surface)));
    };
    least = Math.min(least, simplex(off, new Array<number>(most - 1).fill(1), 60 * most));
  }
  return least;
}

/** Least value that a downhill simplex finds (Nelder and Mead 1965, Computer J. 7, 308), begun twice. */
function simplex(value: (x: readonly number[]) => number, start: readonly number[], evaluations: number): number {
  let best = { x: start, f: value(start) };
  for (const step of [0.6, 0.15]) best = downhill(value, best, step, evaluations / 2);
  return best.f;
}

interface Corner {
  readonly x: readonly number[];
  readonly f: number;
}

function downhill(value: (x: readonly number[]) => number, from: Corner, step: number, evaluations: number): Corner {
  const at = (x: readonly number[]): Corner => ({ x, f: value(x) });
  const corners = [from, ...from.x.map((_, i) => at(from.x.map((one, k) => one + (k === i ? step : 0))))];
  for (let used = corners.length; used < evaluations; ) {
    corners.sort((a, b) => a.f - b.f);
    const worst = corners.at(-1)!;
    const rest = corners.slice(0, -1);
    const centre = from.x.map((_, i) => rest.reduce((sum, { x }) => sum + x[i]!, 0) / rest.length);
    const along = (factor: number) => at(centre.map((one, i) => one + factor * (worst.x[i]! - one)));
    const mirrored = along(-1);
    const tried = mirrored.f < corners[0]!.f ? along(-2) : mirrored.f < rest.at(-1)!.f ? mirrored : along(0.5);
    used += 2;
    const next = tried.f < mirrored.f ? tried : mirrored;
    if (next.f < worst.f) corners[corners.length - 1] = next;
    else {
      const [lead] = corners;
      corners.forEach((corner, n) => {
        if (n > 0) corners[n] = at(corner.x.map((one, i) => (one + lead!.x[i]!) / 2));
      });
      used += corners.length;
    }
  }
  return corners.reduce((a, b) => (b.f < a.f ? b : a));
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

/** The time of the fast search does not fall with the number of sets as that of the reference does: of few toners it says little. */
function compare(size: number, most: number, targets: number, reference: Reference, how: string): void {
  const toners = tonersOf(1, size);
  for (let i = 0; i < 3; i++) search(toners, readingOf(size, i), most); // let the compiler settle
  const gaps: number[] = [];
  let fast = 0;
  let slow = 0;
  for (let trial = 0; trial < targets; trial++) {
    const reflectance = readingOf(size, trial);
    const ours = timed(() => search(toners, reflectance, most));
    const theirs = timed(() => reference(toners, reflectance, most, new Random(trial)));
    gaps.push(ours.result - theirs.result);
    fast += ours.ms;
    slow += theirs.ms;
  }
  console.log(`${targets} readings, ${size} toners, sets of up to ${most}, against ${how}:`);
  console.log(
    `  gap dE00 median ${quantile(gaps, 0.5).toFixed(4)}, 95th percentile ${quantile(gaps, 0.95).toFixed(4)}, ` +
      `largest ${Math.max(...gaps).toFixed(4)} (allowed 0.05 at the 95th percentile)`,
  );
  console.log(
    `  time ${(fast / targets).toFixed(0)} ms against ${(slow / targets).toFixed(0)} ms: 1/${(slow / fast).toFixed(0)} ` +
      (size >= ENOUGH ? '(allowed 1/50)' : `(told only: allowed is 1/50 from ${ENOUGH} toners on)`),
  );
  if (quantile(gaps, 0.95) > 0.05 || (size >= ENOUGH && slow < 50 * fast)) process.exitCode = 1;
}

const ENOUGH = 24;
const TWO_STARTS = 'every set refined from two starts';
const given = process.argv.slice(2).map(Number);
if (given.length > 0) {
  const [size = 24, most = 4, targets = 20] = given;
  compare(size, most, targets, refined, TWO_STARTS);
} else {
  compare(24, 4, 20, refined, TWO_STARTS);
  compare(16, 5, 20, refined, TWO_STARTS);
  compare(16, 5, 20, direct, 'every set brought to the least colour difference by a simplex search');
}
console.log('growth, sets of up to 5, five readings each:');
for (const wanted of [10, 20, 30, 40, 50, 60, 70]) {
  const many = tonersOf(3, wanted);
  const { ms } = timed(() => {
    for (let trial = 0; trial < 5; trial++) search(many, readingOf(wanted, trial), 5);
  });
  console.log(`  ${wanted} toners ${(ms / 5).toFixed(0)} ms${wanted > 60 ? ' (beam)' : ''}`);
}
