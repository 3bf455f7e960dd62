/** What a mixture of toners absorbs and scatters. */

/** Kind of a toner, as far as optics care. */
export type TonerKind = 'white' | 'black' | 'opaque' | 'transparent' | 'binder';

/** Absorption and scattering of one toner at each wavelength, relative to the gauge of its fit. */
export interface TonerOptics {
  readonly code: string;
  readonly kind: TonerKind;
  readonly K: Float64Array;
  readonly S: Float64Array;
}

/** One toner of a mixture: index into the list of toners, and its concentration as a share of the whole (0..1). */
export interface Component {
  readonly toner: number;
  readonly share: number;
}

/** What a part of a toner contributes to the mixture. */
export interface Pour {
  readonly toner: number;
  /** Parts by weight, >= 0. */
  readonly parts: number;
  /** Tinting strength of the lot against the standard lot, 1 = 100 %. */
  readonly strength?: number;
  /** Non-volatile share of the weight, 0..1; needed for the basis 'solids'. */
  readonly solids?: number;
}

/** What a concentration counts: the liquid paint as weighed, or what stays in the dry film. */
export type ConcentrationBasis = 'liquid' | 'solids';

/**
 * Concentrations from parts by weight. A lot's strength scales what its toner does, not the weight of the whole:
 * the shares of a mixture with a weak lot sum to less than 1.
 * Errors: RangeError when a part is negative or no number, when nothing is poured, or when a solids content is missing.
 */
export function concentrations(pours: readonly Pour[], basis: ConcentrationBasis): Component[] {
  const amounts = pours.map((pour) => {
    if (!(pour.parts >= 0 && Number.isFinite(pour.parts))) {
      throw new RangeError(`parts must be 0 or more, not ${pour.parts}`);
    }
    if (basis === 'liquid') return pour.parts;
    if (pour.solids === undefined) {
      throw new RangeError('concentrations by solids need the solids content of every toner');
    }
    return pour.parts * pour.solids;
  });
  const total = amounts.reduce((sum, amount) => sum + amount, 0);
  if (!(total > 0)) throw new RangeError('a mixture needs at least one toner with parts above 0');
  return pours.map((pour, i) => ({ toner: pour.toner, share: (amounts[i]! * (pour.strength ?? 1)) / total }));
}

/** Absorption and scattering of a mixture at each wavelength. */
export interface MixtureOptics {
  readonly K: Float64Array;
  readonly S: Float64Array;
}

/** K and S add in proportion to concentration (Duncan 1940, Proc. Phys. Soc. 52, 390). */
export function mixtureOptics(toners: readonly TonerOptics[], components: readonly Component[]): MixtureOptics {
  const count = toners[0]?.K.length ?? 0;
  const K = new Float64Array(count);
  const S = new Float64Array(count);
  for (const { toner, share } of components) {
    const { K: tonerK, S: tonerS } = toners[toner]!;
    for (let w = 0; w < count; w++) {
      K[w] = K[w]! + share * tonerK[w]!;
      S[w] = S[w]! + share * tonerS[w]!;
    }
  }
  return { K, S };
}
