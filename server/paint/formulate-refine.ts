/** Bring the parts of one set of toners to the least colour difference: Gauss-Newton on shares that sum to 1. */
import { factorise, solve } from './cholesky.ts';
import { clippedShares, type ShareBounds } from './formulate-sets.ts';
import { type LinearisedTarget, residuals, type SprayedFilm } from './formulate-target.ts';
import { filmReflectance, filmSlopes, opaqueReflectance, opaqueSlope } from './kubelka-munk.ts';
import type { TonerOptics } from './mixture.ts';
import { surfaceSlope, throughSurface } from './surface.ts';

export interface RefinedParts {
  readonly parts: readonly number[];
  /** Sum of the squared weighted Lab differences. */
  readonly value: number;
}

/** Internal reflectance of a mixture at one wavelength, and its derivatives by K and S where they are asked for. */
function mixed(
  film: SprayedFilm | undefined,
  w: number,
  k: number,
  s: number,
  slopes: boolean,
): { reflectance: number; byK: number; byS: number } {
  if (film) {
    const [thickness, under] = [film.thickness[w]!, film.under[w]!];
    if (slopes) return filmSlopes(k, s, thickness, under);
    return { reflectance: filmReflectance(k, s, thickness, under), byK: 0, byS: 0 };
  }
  const theta = k / s;
  const byK = slopes ? opaqueSlope(theta) / s : 0;
  return { reflectance: opaqueReflectance(theta), byK, byS: -theta * byK };
}

/** A reading of the mixture and what each part does to the weighted Lab differences. */
class MixtureState {
  readonly reading: Float64Array;
  readonly residual: Float64Array;
  readonly jacobian: Float64Array;

  constructor(
    private readonly target: LinearisedTarget,
    private readonly toners: readonly TonerOptics[],
  ) {
    const rows = 3 * target.lights.length;
    this.reading = new Float64Array(target.theta.length);
    this.residual = new Float64Array(rows);
    this.jacobian = new Float64Array(rows * toners.length);
  }

  /** Sum of squares for these parts; with `slopes` also the derivatives by the parts. */
  at(parts: readonly number[], slopes: boolean): number {
    const { target, toners, reading, residual, jacobian } = this;
    const count = reading.length;
    const n = toners.length;
    const rows = residual.length;
    if (slopes) jacobian.fill(0);
    for (let w = 0; w < count; w++) {
      let k = 0;
      let s = 1e-15;
      for (let i = 0; i < n; i++) {
        k += parts[i]! * toners[i]!.K[w]!;
        s += parts[i]! * toners[i]!.S[w]!;
      }
      const { reflectance, byK, byS } = mixed(target.film, w, k, s, slopes);
      reading[w] = throughSurface(target.surface, reflectance);
      if (!slopes) continue;
      const slope = surfaceSlope(target.surface, reflectance);
      for (let i = 0; i < n; i++) {
        const change = slope * (byK * toners[i]!.K[w]! + byS * toners[i]!.S[w]!);
        for (let r = 0; r < rows; r++) {
          jacobian[r * n + i] = jacobian[r * n + i]! + target.response[r * count + w]! * change;
        }
      }
    }
    residuals(target, reading, residual);
    let sum = 0;
    for (let r = 0; r < rows; r++) sum += residual[r]! * residual[r]!;
    return sum;
  }
}

/** Refine the parts of `toners` (sum 1, within bounds) in at most `rounds` rounds. */
export function refineParts(
  target: LinearisedTarget,
  toners: readonly TonerOptics[],
  bounds: readonly ShareBounds[],
  start: readonly number[],
  rounds = 8,
): RefinedParts {
  const state = new MixtureState(target, toners);
  let parts = start.slice();
  let value = state.at(parts, true);
  for (let round = 0; round < rounds; round++) {
    const step = boundedStep(state, parts, bounds);
    let scale = 1;
    let next = parts;
    let nextValue = value;
    for (let half = 0; half < 6; half++, scale /= 2) {
      const tried = clippedShares(
        parts.map((part, i) => part + scale * step[i]!),
        bounds,
      );
      if (tried === undefined) break;
      const triedValue = state.at(tried, false);
      if (triedValue < value) {
        next = tried;
        nextValue = triedValue;
        break;
      }
    }
    if (!(nextValue < value)) break;
    const gain = value - nextValue;
    parts = next;
    value = state.at(parts, true);
    if (gain < 1e-6 * (value + 1e-4)) break;
  }
  return { parts, value };
}

/** Gauss-Newton step with sum 0; parts that would leave their bounds are stopped there, and the rest solved again. */
function boundedStep(state: MixtureState, parts: readonly number[], bounds: readonly ShareBounds[]): number[] {
  const n = parts.length;
  const rows = state.residual.length;
  const step = new Array<number>(n).fill(0);
  const fixed = new Array<boolean>(n).fill(false);
  for (let round = 0; round < n; round++) {
    const free = parts.map((_, i) => i).filter((i) => !fixed[i]);
    if (free.length === 0) return step;
    const moved = fixed.reduce((sum, isFixed, i) => (isFixed ? sum + step[i]! : sum), 0);
    const m = free.length;
    const matrix = new Float64Array(m * m);
    const right = new Float64Array(m);
    let trace = 0;
    free.forEach((i, a) => {
      for (let r = 0; r < rows; r++) {
        let residual = state.residual[r]!;
        for (let j = 0; j < n; j++) if (fixed[j]) residual += state.jacobian[r * n + j]! * step[j]!;
        right[a] = right[a]! - state.jacobian[r * n + i]! * residual;
      }
      for (let b = 0; b <= a; b++) {
        let sum = 0;
        for (let r = 0; r < rows; r++) sum += state.jacobian[r * n + i]! * state.jacobian[r * n + free[b]!]!;
        matrix[a * m + b] = sum;
      }
      trace += matrix[a * m + a]!;
    });
    // The sum of the steps as one heavy row; a whisper of ridge for toners that do nothing to the colour.
    const heavy = 100 * trace + 1e-12;
    for (let a = 0; a < m; a++) {
      right[a] = right[a]! - heavy * moved;
      for (let b = 0; b <= a; b++) matrix[a * m + b] = matrix[a * m + b]! + heavy;
      matrix[a * m + a] = matrix[a * m + a]! * (1 + 1e-13) + trace * 1e-11;
    }
    if (!factorise(matrix, m)) return step.fill(0);
    solve(matrix, m, right);
    let worst = -1;
    let furthest = 1e-12;
    free.forEach((i, a) => {
      step[i] = right[a]!;
      const next = parts[i]! + right[a]!;
      const beyond = Math.max(bounds[i]!.least - next, next - bounds[i]!.most);
      if (beyond > furthest) {
        worst = i;
        furthest = beyond;
      }
    });
    if (worst < 0) return step;
    fixed[worst] = true;
    const next = parts[worst]! + step[worst]!;
    step[worst] = (next < bounds[worst]!.least ? bounds[worst]!.least : bounds[worst]!.most) - parts[worst]!;
    // Those solved for in this round are solved for again.
    for (const i of free) if (i !== worst) step[i] = 0;
  }
  return step;
}
