/**
 * Colour loops against named alternatives in one run: `npx tsx tests/bench/colour.ts [readings]`.
 * Goals: CIEDE2000 at most 0.4 of the faster library, equal to culori to 1e-10; a spectrum to Lab at most 1.5 of a plain typed
 * loop; the best 20 of 100,000 readings x 6 angles the same as by brute force with culori.
 */
import { deltaE2000, Lab as LabSpace } from 'colorjs.io/fn';
import { differenceCiede2000 } from 'culori';
import { ciede2000, ciede2000Bound } from '../../server/colour/ciede2000.ts';
import { labsOfSpectra } from '../../server/colour/lab.ts';
import { LabIndex } from '../../server/colour/search.ts';
import { tristimulusWeights } from '../../server/colour/weights.ts';
import { stream } from '../server/colour/random-lab.ts';
import { eachReading, labLibrary, WAVELENGTHS } from './colour-library.ts';
import { interleaved, median, ratio, type Timing } from './rounds.ts';

const READINGS = Number(process.argv[2] ?? 100_000);
const ANGLES = 6;
const BEST = 20;
const ROUNDS = 11;
/** What the loops computed, added up and printed, so that none can be left out by the engine. */
let sum = 0;

const nanoseconds = (timing: Timing, count: number) => ((median(timing.rounds) * 1e6) / count).toFixed(0);
const say = (text: string) => process.stdout.write(`${text}\n`);
const culori = differenceCiede2000();

type CuloriLab = { mode: 'lab65'; l: number; a: number; b: number };
const culoriOf = (labs: Float64Array, at: number): CuloriLab => ({
  mode: 'lab65',
  l: labs[at]!,
  a: labs[at + 1]!,
  b: labs[at + 2]!,
});
const chromas = (labs: Float64Array) =>
  Float64Array.from({ length: labs.length / 3 }, (_, i) => Math.sqrt(labs[3 * i + 1]! ** 2 + labs[3 * i + 2]! ** 2));

function benchPairs(labs: Float64Array): void {
  const pairs = 50_000;
  const next = stream(11);
  const pick = () => {
    const side = new Float64Array(3 * pairs);
    for (let i = 0; i < pairs; i++) {
      const from = 3 * Math.floor((next() * labs.length) / 3);
      side.set(labs.subarray(from, from + 3), 3 * i);
    }
    return side;
  };
  const [p, q] = [pick(), pick()];
  const [cp, cq] = [chromas(p), chromas(q)];
  const objects = <T>(side: Float64Array, make: (labs: Float64Array, at: number) => T) =>
    Array.from({ length: pairs }, (_, i) => make(side, 3 * i));
  const [kp, kq] = [objects(p, culoriOf), objects(q, culoriOf)];
  const coloured = (side: Float64Array, at: number) => ({
    space: LabSpace,
    coords: [side[at]!, side[at + 1]!, side[at + 2]!] as [number, number, number],
    alpha: 1,
  });
  const [jp, jq] = [objects(p, coloured), objects(q, coloured)];
  const ours = (i: number, formula: typeof ciede2000) => {
    const k = 3 * i;
    return formula(p[k]!, p[k + 1]!, p[k + 2]!, cp[i]!, q[k]!, q[k + 1]!, q[k + 2]!, cq[i]!);
  };
  const all = (one: (i: number) => number) => () => {
    let total = 0;
    for (let i = 0; i < pairs; i++) total += one(i);
    sum += total;
  };
  const times = interleaved(
    {
      ours: all((i) => ours(i, ciede2000)),
      bound: all((i) => ours(i, ciede2000Bound)),
      culori: all((i) => culori(kp[i]!, kq[i]!)),
      colorjs: all((i) => deltaE2000(jp[i]!, jq[i]!)),
    },
    ROUNDS,
  );
  let [fromCulori, fromColorjs] = [0, 0];
  for (let i = 0; i < pairs; i++) {
    fromCulori = Math.max(fromCulori, Math.abs(ours(i, ciede2000) - culori(kp[i]!, kq[i]!)));
    fromColorjs = Math.max(fromColorjs, Math.abs(ours(i, ciede2000) - deltaE2000(jp[i]!, jq[i]!)));
  }
  say(
    `CIEDE2000, ${pairs} pairs, ns each: ours ${nanoseconds(times.ours!, pairs)}, culori ${nanoseconds(times.culori!, pairs)}, colorjs.io ${nanoseconds(times.colorjs!, pairs)}; lower bound ${nanoseconds(times.bound!, pairs)}`,
  );
  const [byCulori, byColorjs] = [ratio(times.ours!, times.culori!), ratio(times.ours!, times.colorjs!)];
  say(
    `  ours / culori ${byCulori.toFixed(3)}, ours / colorjs.io ${byColorjs.toFixed(3)}: ${(1 / Math.max(byCulori, byColorjs)).toFixed(2)} times as fast as the faster one (goal 2.5)`,
  );
  say(
    `  largest difference from culori ${fromCulori.toExponential(1)} (goal 1e-10), from colorjs.io ${fromColorjs.toExponential(1)}`,
  );
}

function benchSpectra(): void {
  const count = 6000 * ANGLES;
  const spectra = new Float64Array(count * WAVELENGTHS);
  eachReading(6000, ANGLES, 3, (some, reading) => {
    spectra.set(some, reading * ANGLES * WAVELENGTHS);
  });
  const weights = tristimulusWeights('D65', '10', 400, 10, WAVELENGTHS);
  const out = new Float64Array(3 * count);
  const times = interleaved(
    {
      ours: () => {
        labsOfSpectra(spectra, weights, out);
        sum += out[1]!;
      },
      plain: () => {
        plainLabs(spectra, weights.values, weights.white, out);
        sum += out[1]!;
      },
      xyz: () => {
        plainXyz(spectra, weights.values, out);
        sum += out[1]!;
      },
    },
    ROUNDS,
  );
  say(
    `spectrum of ${WAVELENGTHS} to Lab, ns each: ours ${nanoseconds(times.ours!, count)}, plain typed loop ${nanoseconds(times.plain!, count)}, the same to XYZ only ${nanoseconds(times.xyz!, count)}`,
  );
  say(
    `  ours / plain loop to Lab ${ratio(times.ours!, times.plain!).toFixed(2)} (goal 1.5), ours / to XYZ only ${ratio(times.ours!, times.xyz!).toFixed(2)}`,
  );
}

const f = (t: number) => (t > 216 / 24389 ? Math.cbrt(t) : (841 / 108) * t + 4 / 29);

/** The plain alternative: three sums over planes of weights, then the textbook formula of CIELAB. */
function plainLabs(spectra: Float64Array, w: Float64Array, white: readonly number[], out: Float64Array): void {
  plainXyz(spectra, w, out);
  for (let i = 0; i < out.length; i += 3) {
    const x = f(out[i]! / white[0]!);
    const y = f(out[i + 1]! / white[1]!);
    const z = f(out[i + 2]! / white[2]!);
    out[i] = 116 * y - 16;
    out[i + 1] = 500 * (x - y);
    out[i + 2] = 200 * (y - z);
  }
}

function plainXyz(spectra: Float64Array, w: Float64Array, out: Float64Array): void {
  for (let s = 0, to = 0; s < spectra.length; s += WAVELENGTHS, to += 3) {
    let x = 0;
    let y = 0;
    let z = 0;
    for (let i = 0; i < WAVELENGTHS; i++) {
      const r = spectra[s + i]!;
      x += r * w[3 * i]!;
      y += r * w[3 * i + 1]!;
      z += r * w[3 * i + 2]!;
    }
    out[to] = x;
    out[to + 1] = y;
    out[to + 2] = z;
  }
}

function benchSearch(labs: Float64Array): void {
  const from = performance.now();
  const index = new LabIndex(labs, ANGLES);
  const built = performance.now() - from;
  const size = 3 * ANGLES;
  const next = stream(12);
  const near = Array.from({ length: 6 }, () => {
    const at = size * Math.floor((next() * labs.length) / size);
    return labs.slice(at, at + size).map((v) => v + 2 * next() - 1);
  });
  const strangers = labLibrary(6, ANGLES, 987_654);
  const queries = [...near, ...Array.from({ length: 6 }, (_, i) => strangers.slice(size * i, size * (i + 1)))];
  const objects = Array.from({ length: labs.length / 3 }, (_, i) => culoriOf(labs, 3 * i));
  const brute = (query: Float64Array) => {
    const wanted = Array.from({ length: ANGLES }, (_, k) => culoriOf(query, 3 * k));
    const all = Array.from({ length: index.count }, (_, i) => {
      let total = 0;
      for (let k = 0; k < ANGLES; k++) total += culori(wanted[k]!, objects[i * ANGLES + k]!);
      return { index: i, difference: total / ANGLES };
    });
    return all.sort((a, b) => a.difference - b.difference).slice(0, BEST);
  };
  const ids = (found: { index: number }[]) => found.map((f) => f.index).join(' ');
  const wrong = queries.filter((query) => ids(brute(query)) !== ids(index.nearest(query, BEST))).length;
  let [mine, theirs] = [0, 0];
  const times = interleaved(
    {
      ours: () => {
        sum += index.nearest(queries[mine++ % queries.length]!, BEST)[0]!.difference;
      },
      culori: () => {
        sum += brute(queries[theirs++ % queries.length]!)[0]!.difference;
      },
    },
    12,
    3,
  );
  const last = index.nearest(queries[0]!, BEST).at(-1)!.difference;
  say(
    `best ${BEST} of ${index.count} x ${ANGLES}, ms: ours ${median(times.ours!.rounds).toFixed(2)}, culori brute force ${median(times.culori!.rounds).toFixed(0)}; ours / culori ${ratio(times.ours!, times.culori!).toFixed(4)} (goal 0.01); the 20th lies at ${last.toFixed(2)}`,
  );
  say(
    `  same ids in the same order: ${queries.length - wrong} of ${queries.length} queries; index built in ${built.toFixed(0)} ms, ${(built / median(times.culori!.rounds)).toFixed(1)} brute-force searches (goal 4)`,
  );
  if (wrong > 0) process.exitCode = 1;
}

const labs = labLibrary(READINGS, ANGLES, 1);
benchPairs(labs);
benchSpectra();
benchSearch(labs);
say(`(sum ${sum.toExponential(3)})`);
