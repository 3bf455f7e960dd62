/**
 * Cards that have L*, a*, b* only. Three numbers an angle do not tell 31 bands: many spectra look alike. What can be done
 * is to take the smoothest of them (least squared steps of the logarithm, as in Burns 2020, "Numerical methods for
 * smoothest reflectance reconstruction", from memory), which is close for silver, white, black and broad colours and
 * wrong in detail for narrow ones. A fit that rests on such cards holds for the light of the readings, not for another.
 */
import { type Lab, xyzOfLab } from '../colour/lab.ts';
import type { TristimulusWeights, XYZ } from '../colour/weights.ts';
import { addRow, envelope, factorise, solve } from './effect-envelope.ts';

/** Least X, Y or Z (white Y 100) of a reading: below it a dark reading says nothing of its hue. */
const DARKEST = 0.002;

/**
 * The smoothest positive spectrum with this colour, per band of the weights; may exceed 1, as flakes do.
 * undefined when there is none: a colour that no paint can have, or a dark reading below the noise.
 */
export function smoothestSpectrum(lab: Lab, weights: TristimulusWeights): Float64Array | undefined {
  const target = xyzOfLab(lab, weights.white);
  if (!target.every((value) => Number.isFinite(value) && value > DARKEST)) return undefined;
  const { count } = weights;
  const bends = bendMatrix(count);
  let logs: Float64Array = new Float64Array(count).fill(Math.log(target[1] / weights.white[1]));
  let part = 1;
  let before = Number.POSITIVE_INFINITY;
  for (let step = 0; step < 400; step++) {
    const spectrum = logs.map(Math.exp);
    const found = xyz(spectrum, weights);
    const off = Math.max(...found.map((value, k) => Math.abs(value / target[k]! - 1)));
    if (off < 1e-7) return spectrum;
    // strong colours make whole steps swing to and fro; shorter ones settle
    if (off > before) part = Math.max(0.7 * part, 0.05);
    before = off;
    // constraints of the colour, linear in the logarithms; of all that keep them, the logarithms with the least steps
    const rows = [0, 1, 2].map((k) => spectrum.map((value, i) => (value * weights.values[3 * i + k]!) / target[k]!));
    const wanted = rows.map((row, k) => 1 - found[k]! / target[k]! + dot(row, logs));
    const pulled = rows.map((row) => solve(bends, row));
    const multipliers = solve3(
      rows.map((row) => pulled.map((column) => dot(row, column))),
      wanted,
    );
    if (multipliers === undefined) return undefined;
    logs = logs.map((value, i) => {
      const next = multipliers.reduce((sum, multiplier, k) => sum + multiplier * pulled[k]![i]!, 0);
      return value + part * Math.min(Math.max(next - value, -1), 1);
    });
  }
  return undefined;
}

/** Squared steps between neighbours, and a trace of the level so that a flat spectrum is not free of charge. */
function bendMatrix(count: number): ReturnType<typeof envelope> {
  const matrix = envelope(Int32Array.from({ length: count }, (_, i) => Math.max(0, i - 1)));
  for (let i = 0; i + 1 < count; i++) addRow(matrix, Int32Array.of(i, i + 1), Float64Array.of(-1, 1), 2, 1);
  for (let i = 0; i < count; i++) addRow(matrix, Int32Array.of(i), Float64Array.of(1), 1, 1e-6);
  factorise(matrix);
  return matrix;
}

function xyz(spectrum: Float64Array, weights: TristimulusWeights): XYZ {
  const sum: [number, number, number] = [0, 0, 0];
  for (let i = 0; i < spectrum.length; i++)
    for (let k = 0; k < 3; k++) sum[k]! += spectrum[i]! * weights.values[3 * i + k]!;
  return sum;
}

const dot = (a: Float64Array, b: Float64Array): number => a.reduce((sum, value, i) => sum + value * b[i]!, 0);

/** Three equations by Cramer's rule; undefined when they do not determine the three. */
function solve3(m: readonly number[][], right: readonly number[]): number[] | undefined {
  const det = (a: readonly number[][]): number =>
    a[0]![0]! * (a[1]![1]! * a[2]![2]! - a[1]![2]! * a[2]![1]!) -
    a[0]![1]! * (a[1]![0]! * a[2]![2]! - a[1]![2]! * a[2]![0]!) +
    a[0]![2]! * (a[1]![0]! * a[2]![1]! - a[1]![1]! * a[2]![0]!);
  const whole = det(m);
  const solution = [0, 1, 2].map(
    (k) => det(m.map((row, i) => row.map((value, j) => (j === k ? right[i]! : value)))) / whole,
  );
  return solution.every(Number.isFinite) ? solution : undefined;
}
