/**
 * One card more, without fitting again: a Gauss-Newton (Bayes) step in which the fit so far is the prior. Against the
 * full fit its predictions differ by a few thousandths of dE00, good enough while one types; the recorded fit is the full one.
 */
import { factorise, solve } from './cholesky.ts';
import { type OpticsFit, readBy, type TonerFit, thicknessScale } from './fit.ts';
import { emptyRow, type FitCard, predictCard, unknownsOf } from './fit-model.ts';

/** The fit moved by one card. `weight` below 1 trusts the card less, e.g. 1/4 for one whose errors count double. */
export function updatedFit(fit: OpticsFit, card: FitCard, weight = 1): OpticsFit {
  const toners = fit.toners.length;
  const unknowns = unknownsOf(toners, fit.gauge, fit.scale !== undefined);
  const n = unknowns.count;
  const row = emptyRow(toners);
  const sprayed = { ...card, surface: readBy(fit, card.surface) };
  const K = fit.toners.map((toner) => toner.K.slice());
  const S = fit.toners.map((toner) => toner.S.slice());
  const scale = fit.scale?.slice();
  const factors = fit.factors.map((factor, w) => {
    const measured = card.reflectance[w]!;
    if (!Number.isFinite(measured)) return factor;
    const at = (values: readonly Float64Array[]): Float64Array => Float64Array.from(values, (value) => value[w]!);
    predictCard(row, sprayed, w, at(K), at(S), thicknessScale(fit, w), unknowns, fit.noise);
    const hessian = multiplyOut(factor, n);
    const step = new Float64Array(n);
    const trust = weight / row.variance;
    for (let a = 0; a < row.length; a++) {
      const i = row.index[a]!;
      step[i] = step[i]! + trust * row.slope[a]! * (measured - row.predicted);
      for (let b = 0; b <= a; b++) {
        const j = row.index[b]!;
        const cell = i > j ? i * n + j : j * n + i;
        hessian[cell] = hessian[cell]! + trust * row.slope[a]! * row.slope[b]!;
      }
    }
    if (!factorise(hessian, n)) return factor;
    solve(hessian, n, step);
    const moved = (value: number, unknown: number): number =>
      value * Math.exp(Math.min(Math.max(step[unknown]!, -1), 1));
    for (let i = 0; i < toners; i++) {
      K[i]![w] = moved(K[i]![w]!, i);
      if (unknowns.S[i]! >= 0) S[i]![w] = moved(S[i]![w]!, unknowns.S[i]!);
    }
    if (scale !== undefined) scale[w] = moved(scale[w]!, unknowns.scale);
    return hessian;
  });
  const moved = fit.toners.map((toner, i): TonerFit => ({ ...toner, K: K[i]!, S: S[i]! }));
  return { ...fit, toners: moved, factors, ...(scale === undefined ? {} : { scale }) };
}

/** L L' (lower triangle) of a factor. */
function multiplyOut(factor: Float64Array, n: number): Float64Array {
  const product = new Float64Array(n * n);
  for (let i = 0; i < n; i++) {
    for (let j = 0; j <= i; j++) {
      let sum = 0;
      for (let k = 0; k <= j; k++) sum += factor[i * n + k]! * factor[j * n + k]!;
      product[i * n + j] = sum;
    }
  }
  return product;
}
