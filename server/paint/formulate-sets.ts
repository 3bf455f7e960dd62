/**
 * Which toners may match a target: the best sets of a linearised problem, by looking at all of them.
 *
 * For a set of toners near the target's K/S t, the colour difference is |A c| with columns made of (K_i - t S_i), to be
 * least under sum c_i s_i = 1 (s: scattering; sum c_i = 1 would favour toners that scatter little). The optimum of a set
 * is 1/|y|², y = L⁻¹ s with A'A = L L'. Walking all sets as a tree grows L by one row per level, some forty operations
 * for a set of five. A set with a negative part has its optimum on a smaller set, which is also visited.
 */
import { factorise, solve } from './cholesky.ts';
import type { LinearisedTarget } from './formulate-target.ts';
import type { TonerOptics } from './mixture.ts';
import { nonNegativeLeastSquares } from './nnls.ts';

/** A set of candidates, with its parts (sum 1), in the order of the candidates' list. */
export interface TonerSet {
  readonly members: readonly number[];
  readonly parts: readonly number[];
  /** Value of the linearised problem, squared dE00 summed over the lights. */
  readonly value: number;
}

/** The quadratic problem of a list of candidates. */
export interface LinearProblem {
  readonly size: number;
  /** A'A, size x size. */
  readonly gram: Float64Array;
  readonly scattering: Float64Array;
}

/** Weight of the spectral rows that keep large sets from being singular. */
const spectralWeight = 0.01;
const normalisingRounds = 3;

/** Set up the quadratic problem about a linearised target. */
export function linearProblem(target: LinearisedTarget, candidates: readonly TonerOptics[]): LinearProblem {
  const count = target.theta.length;
  let typical = new Float64Array(count).fill(1);
  let problem = about(target, candidates, typical);
  for (let round = 0; round < normalisingRounds; round++) {
    const mixture = unrestricted(problem);
    typical = new Float64Array(count);
    for (let i = 0; i < candidates.length; i++) {
      if (mixture[i] === 0) continue;
      for (let w = 0; w < count; w++) typical[w] = typical[w]! + mixture[i]! * candidates[i]!.S[w]!;
    }
    const mean = typical.reduce((sum, value) => sum + value, 0) / count;
    if (!(mean > 0)) break;
    typical = typical.map((value) => Math.max(value / mean, 1e-3));
    problem = about(target, candidates, typical);
  }
  return problem;
}

function about(target: LinearisedTarget, candidates: readonly TonerOptics[], typical: Float64Array): LinearProblem {
  const { theta, slope, response, offset } = target;
  const count = theta.length;
  const size = candidates.length;
  const colourRows = response.length / count;
  const rows = colourRows + count;
  const columns = new Float64Array(size * rows);
  const scattering = new Float64Array(size);
  candidates.forEach((toner, i) => {
    for (let w = 0; w < count; w++) {
      const change = (slope[w]! * (toner.K[w]! - theta[w]! * toner.S[w]!)) / typical[w]!;
      for (let r = 0; r < colourRows; r++) {
        columns[i * rows + r] = columns[i * rows + r]! + response[r * count + w]! * change;
      }
      columns[i * rows + colourRows + w] = spectralWeight * change;
      scattering[i] = scattering[i]! + toner.S[w]! / typical[w]! / count;
    }
    // With sum c_i s_i = 1 the difference that is there at the start is a part of every column.
    for (let r = 0; r < colourRows; r++) {
      columns[i * rows + r] = columns[i * rows + r]! + offset[r]! * scattering[i]!;
    }
  });
  const gram = new Float64Array(size * size);
  for (let i = 0; i < size; i++) {
    for (let j = 0; j <= i; j++) {
      let sum = 0;
      for (let r = 0; r < rows; r++) sum += columns[i * rows + r]! * columns[j * rows + r]!;
      gram[i * size + j] = sum;
      gram[j * size + i] = sum;
    }
  }
  return { size, gram, scattering };
}

/** The best mixture of all candidates, parts >= 0, scaled to scattering 1. */
function unrestricted({ size, gram, scattering }: LinearProblem): Float64Array {
  // The normalisation as one heavy row.
  let trace = 0;
  for (let i = 0; i < size; i++) trace += gram[i * size + i]! / (scattering[i]! * scattering[i]! + 1e-12);
  const weight = Math.max(trace / size, 1e-6);
  const heavy = gram.map((value, at) => value + weight * scattering[Math.floor(at / size)]! * scattering[at % size]!);
  return nonNegativeLeastSquares(
    heavy,
    scattering.map((value) => weight * value),
  );
}

/** Bounds of a candidate's share in the toners, 0..1. */
export interface ShareBounds {
  readonly least: number;
  readonly most: number;
}

/** Least pivot of a Cholesky factor, relative to its own diagonal. */
const leastPivot = 1e-12;

/** Above this number of candidates looking at all sets takes too long. */
export const mostForAllSets = 60;
const beamWidth = 200;

/**
 * The best sets of `most` candidates or fewer, `keep` of each size, that hold all of `must`.
 * All sets up to 60 candidates, above that a beam.
 */
export function bestSets(
  problem: LinearProblem,
  bounds: readonly ShareBounds[],
  must: readonly number[],
  most: number,
  keep: number,
): TonerSet[] {
  return problem.size <= mostForAllSets
    ? allSets(problem, bounds, must, most, keep)
    : beamSets(problem, bounds, must, most, keep);
}

/** The best few of many, the worst of them known. */
class Best {
  private readonly kept: TonerSet[] = [];
  private worst = 0;
  constructor(private readonly capacity: number) {}

  /** A value that is not below this need not be offered. */
  get threshold(): number {
    return this.kept.length < this.capacity ? Number.POSITIVE_INFINITY : this.kept[this.worst]!.value;
  }

  offer(set: TonerSet): void {
    if (this.kept.length < this.capacity) this.kept.push(set);
    else if (set.value < this.threshold) this.kept[this.worst] = set;
    else return;
    this.worst = this.kept.reduce((worst, each, i) => (each.value > this.kept[worst]!.value ? i : worst), 0);
  }

  sorted(): TonerSet[] {
    return this.kept.slice().sort((a, b) => a.value - b.value);
  }
}

function allSets(
  problem: LinearProblem,
  bounds: readonly ShareBounds[],
  must: readonly number[],
  most: number,
  keep: number,
): TonerSet[] {
  const { size, gram, scattering } = problem;
  const best = Array.from({ length: most + 1 }, () => new Best(keep));
  const free = Array.from({ length: size }, (_, i) => i).filter((i) => !must.includes(i));
  const bounded = isBounded(bounds, must);
  const members = new Int32Array(most);
  const factor = new Float64Array(most * most);
  const y = new Float64Array(most);
  const parts = new Float64Array(most);

  /** Add candidate i as row `level`. */
  const grow = (level: number, i: number): void => {
    members[level] = i;
    let square = gram[i * size + i]!;
    // A set that matches exactly is singular by its nature: it is kept, with a difference of next to nothing.
    const least = square * leastPivot;
    let along = scattering[i]!;
    for (let j = 0; j < level; j++) {
      let sum = gram[i * size + members[j]!]!;
      for (let k = 0; k < j; k++) sum -= factor[level * most + k]! * factor[j * most + k]!;
      const entry = sum / factor[j * most + j]!;
      factor[level * most + j] = entry;
      square -= entry * entry;
      along -= entry * y[j]!;
    }
    const root = Math.sqrt(Math.max(square, least));
    factor[level * most + level] = root;
    y[level] = along / root;
  };

  const take = (length: number, norm: number): void => {
    const list = best[length]!;
    if (!(1 / norm < list.threshold)) return;
    for (let i = length - 1; i >= 0; i--) {
      let sum = y[i]!;
      for (let k = i + 1; k < length; k++) sum -= factor[k * most + i]! * parts[k]!;
      parts[i] = sum / factor[i * most + i]!;
      if (parts[i]! < 0 && !bounded) return;
    }
    const set = settled(problem, bounds, members, parts, length, 1 / norm);
    if (set !== undefined && set.value < list.threshold) list.offer(set);
  };

  const walk = (level: number, from: number, norm: number): void => {
    if (level > 0) take(level, norm);
    if (level === most) return;
    for (let f = from; f < free.length; f++) {
      grow(level, free[f]!);
      walk(level + 1, f + 1, norm + y[level]! * y[level]!);
    }
  };

  let norm = 0;
  for (let level = 0; level < must.length; level++) {
    if (level >= most) return [];
    grow(level, must[level]!);
    norm += y[level]! * y[level]!;
  }
  walk(must.length, 0, norm);
  return best.flatMap((list) => list.sorted());
}

function isBounded(bounds: readonly ShareBounds[], must: readonly number[]): boolean {
  return must.length > 0 || bounds.some(({ least, most }) => least > 0 || most < 1);
}

/** The set with parts that sum to 1 within their bounds; undefined when it cannot be. */
function settled(
  problem: LinearProblem,
  bounds: readonly ShareBounds[],
  members: ArrayLike<number>,
  parts: ArrayLike<number>,
  length: number,
  value: number,
): TonerSet | undefined {
  let total = 0;
  for (let i = 0; i < length; i++) total += Math.max(parts[i]!, 0);
  if (!(total > 0)) return undefined;
  const order = Array.from({ length }, (_, i) => members[i]!);
  const shares = Array.from({ length }, (_, i) => parts[i]! / total);
  if (shares.every((share, i) => share >= bounds[order[i]!]!.least && share <= bounds[order[i]!]!.most)) {
    return { members: order, parts: shares, value };
  }
  const clipped = clippedShares(
    shares,
    order.map((i) => bounds[i]!),
  );
  return clipped === undefined
    ? undefined
    : { members: order, parts: clipped, value: quadratic(problem, order, clipped) };
}

/** Shares brought within their bounds, the rest scaled so that the sum stays 1; undefined when the bounds forbid it. */
export function clippedShares(shares: readonly number[], bounds: readonly ShareBounds[]): number[] | undefined {
  const least = bounds.reduce((sum, bound) => sum + bound.least, 0);
  const most = bounds.reduce((sum, bound) => sum + bound.most, 0);
  if (least > 1 || most < 1) return undefined;
  const result = shares.map((share, i) => Math.min(Math.max(share, bounds[i]!.least), bounds[i]!.most));
  for (let round = 0; round < 2 * shares.length + 2; round++) {
    const excess = result.reduce((sum, share) => sum + share, 0) - 1;
    if (Math.abs(excess) < 1e-12) return result;
    const room = result.map((share, i) => (excess > 0 ? share - bounds[i]!.least : bounds[i]!.most - share));
    const total = room.reduce((sum, value) => sum + value, 0);
    if (!(total > 0)) return undefined;
    const part = Math.min(1, Math.abs(excess) / total) * Math.sign(excess);
    for (let i = 0; i < result.length; i++) result[i] = result[i]! - part * room[i]!;
  }
  return result;
}

function quadratic(
  { size, gram, scattering }: LinearProblem,
  members: readonly number[],
  parts: readonly number[],
): number {
  let value = 0;
  let total = 0;
  for (let a = 0; a < members.length; a++) {
    total += parts[a]! * scattering[members[a]!]!;
    for (let b = 0; b < members.length; b++) {
      value += parts[a]! * parts[b]! * gram[members[a]! * size + members[b]!]!;
    }
  }
  return value / (total * total);
}

function beamSets(
  problem: LinearProblem,
  bounds: readonly ShareBounds[],
  must: readonly number[],
  most: number,
  keep: number,
): TonerSet[] {
  const bounded = isBounded(bounds, must);
  const found: TonerSet[] = [];
  let front: (readonly number[])[] = [must];
  if (must.length > 0) {
    const start = optimum(problem, bounds, must, bounded);
    if (start !== undefined) found.push(start);
  }
  for (let size = must.length + 1; size <= most; size++) {
    const best = new Best(Math.max(beamWidth, keep));
    const seen = new Set<string>();
    for (const members of front) {
      for (let i = 0; i < problem.size; i++) {
        if (members.includes(i)) continue;
        const grown = [...members, i];
        const key = grown
          .slice()
          .sort((a, b) => a - b)
          .join(' ');
        if (seen.has(key)) continue;
        seen.add(key);
        const set = optimum(problem, bounds, grown, bounded);
        if (set !== undefined) best.offer(set);
      }
    }
    const sorted = best.sorted();
    found.push(...sorted.slice(0, keep));
    front = sorted.slice(0, beamWidth).map((set) => set.members);
  }
  return found;
}

function optimum(
  problem: LinearProblem,
  bounds: readonly ShareBounds[],
  members: readonly number[],
  bounded: boolean,
): TonerSet | undefined {
  const n = members.length;
  const matrix = new Float64Array(n * n);
  members.forEach((i, row) => {
    for (let column = 0; column <= row; column++)
      matrix[row * n + column] = problem.gram[i * problem.size + members[column]!]!;
  });
  for (let row = 0; row < n; row++) matrix[row * n + row] = matrix[row * n + row]! * (1 + leastPivot);
  if (!factorise(matrix, n)) return undefined;
  const parts = Float64Array.from(members, (i) => problem.scattering[i]!);
  solve(matrix, n, parts);
  let norm = 0;
  members.forEach((i, row) => {
    norm += problem.scattering[i]! * parts[row]!;
  });
  if (!(norm > 0) || (!bounded && parts.some((part) => part < 0))) return undefined;
  return settled(problem, bounds, members, parts, n, 1 / norm);
}
