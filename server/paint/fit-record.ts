/**
 * A fit as plain JSON, for the lock file in git: with it predictions and their ± come out the same everywhere, without
 * fitting again. K and S stand in decimals, so that a review shows what moved; the curvature, which nobody reads, is
 * packed (the Cholesky factor in single precision: its condition is the square root of the Hessian's, so that is enough).
 */
import type { OpticsFit, TonerFit } from './fit.ts';
import type { CardNoise } from './fit-model.ts';
import type { TonerKind } from './mixture.ts';
import { plainReading, type ReadingConstants } from './surface.ts';
import type { UncertaintyModel } from './uncertainty.ts';

/** JSON shape of a recorded fit. */
export interface FitRecord {
  readonly count: number;
  readonly gauge: string;
  readonly noise: CardNoise;
  readonly reading: ReadingConstants;
  readonly scale?: readonly number[];
  readonly toners: readonly TonerRecord[];
  readonly plusMinus: { readonly factor: number; readonly basis: UncertaintyModel['basis']; readonly mixtures: number };
  /** Base 64 of little-endian 32-bit floats: lower triangles, row by row, one after the other. */
  readonly correlation: string;
  readonly curvature: string;
}

interface TonerRecord {
  readonly code: string;
  readonly kind: TonerKind;
  readonly samples: number;
  readonly uncertain?: NonNullable<TonerFit['uncertain']>;
  readonly K: readonly number[];
  readonly S: readonly number[];
  /** Standard deviations of ln K and ln S, two digits. */
  readonly spreadK: readonly number[];
  readonly spreadS: readonly number[];
}

const digits = (values: Float64Array, significant: number): number[] =>
  Array.from(values, (value) => Number(value.toPrecision(significant)));

/** What is written down. */
export function recordFit(fit: OpticsFit, model: UncertaintyModel): FitRecord {
  const n = Math.round(Math.sqrt(fit.factors[0]?.length ?? 0));
  return {
    count: fit.count,
    gauge: fit.toners[fit.gauge]!.code,
    noise: fit.noise,
    reading: fit.reading,
    ...(fit.scale === undefined ? {} : { scale: digits(fit.scale, 9) }),
    toners: fit.toners.map((toner) => ({
      code: toner.code,
      kind: toner.kind,
      samples: toner.samples,
      ...(toner.uncertain === undefined ? {} : { uncertain: toner.uncertain }),
      K: digits(toner.K, 9),
      S: digits(toner.S, 9),
      spreadK: digits(toner.spreadK, 2),
      spreadS: digits(toner.spreadS, 2),
    })),
    plusMinus: { factor: Number(model.factor.toPrecision(6)), basis: model.basis, mixtures: model.mixtures },
    correlation: packed([model.correlation], fit.count),
    curvature: packed(fit.factors, n),
  };
}

/**
 * The fit and its ± model as recorded. What concerns single cards (residuals, leverages) is not recorded.
 * Errors: RangeError when the record does not fit together.
 */
export function readFit(record: FitRecord): { fit: OpticsFit; model: UncertaintyModel } {
  const gauge = record.toners.findIndex((toner) => toner.code === record.gauge);
  if (gauge < 0) throw new RangeError(`the recorded fit has no toner ${record.gauge}, to which it refers all others`);
  const n = 2 * record.toners.length - 1 + (record.scale === undefined ? 0 : 1);
  const correlation = unpacked(record.correlation, record.count, 1)[0]!;
  for (let i = 0; i < record.count; i++) {
    for (let j = 0; j < i; j++) correlation[j * record.count + i] = correlation[i * record.count + j]!;
  }
  const fit: OpticsFit = {
    count: record.count,
    gauge,
    // a lock of before these two were learned
    noise: { ...record.noise, misfit: record.noise.misfit ?? 0 },
    reading: record.reading ?? plainReading,
    ...(record.scale === undefined ? {} : { scale: Float64Array.from(record.scale) }),
    toners: record.toners.map((toner) => ({
      ...toner,
      K: Float64Array.from(toner.K),
      S: Float64Array.from(toner.S),
      spreadK: Float64Array.from(toner.spreadK),
      spreadS: Float64Array.from(toner.spreadS),
    })),
    factors: unpacked(record.curvature, n, record.count),
    cards: [],
  };
  return { fit, model: { ...record.plusMinus, correlation } };
}

function packed(matrices: readonly Float64Array[], n: number): string {
  const perMatrix = (n * (n + 1)) / 2;
  const view = new DataView(new ArrayBuffer(4 * perMatrix * matrices.length));
  let at = 0;
  for (const matrix of matrices) {
    for (let i = 0; i < n; i++) {
      for (let j = 0; j <= i; j++, at += 4) view.setFloat32(at, matrix[i * n + j]!, true);
    }
  }
  let text = '';
  for (let i = 0; i < view.byteLength; i++) text += String.fromCharCode(view.getUint8(i));
  return btoa(text);
}

function unpacked(text: string, n: number, count: number): Float64Array[] {
  const bytes = Uint8Array.from(atob(text), (character) => character.charCodeAt(0));
  if (bytes.length !== 2 * n * (n + 1) * count) {
    throw new RangeError('the recorded fit is cut short or belongs to other toners: run the fit again');
  }
  const view = new DataView(bytes.buffer);
  let at = 0;
  return Array.from({ length: count }, () => {
    const matrix = new Float64Array(n * n);
    for (let i = 0; i < n; i++) {
      for (let j = 0; j <= i; j++, at += 4) matrix[i * n + j] = view.getFloat32(at, true);
    }
    return matrix;
  });
}
