/**
 * What a fit of effect toners looks for: kinds of toner, their starts, priors and bounds, and how one vector of
 * unknowns becomes toner constants. All unknowns are logarithms (reflectance of a flake: logit), so that no step can
 * leave what is physically possible.
 */
import { constantsFrom, type EffectBands, type EffectToner } from './effect-model.ts';

/**
 * absorbing: transparent colours and blacks (scattering is one small number, flakes stay flat);
 * scattering: whites, opaque colours, flop control (scattering per band, flakes are tilted);
 * clear: binder and additives, nothing to learn.
 */
export type EffectKind = 'flake' | 'pearl' | 'absorbing' | 'scattering' | 'clear';

/** One unknown, or one per band: start, width of the prior around it (in the logarithm), bounds. */
interface Unknown {
  readonly quantity: Quantity;
  readonly start: number;
  readonly width: number;
  readonly low: number;
  readonly high: number;
  /** weight of second differences along the spectrum; 0 for a single number */
  readonly smooth: number;
}

export type Quantity =
  | 'flakes'
  | 'tilt'
  | 'edge'
  | 'strays'
  | 'reflectance'
  | 'mirror'
  | 'plateIndex'
  | 'absorption'
  | 'scattering'
  | 'scatter'
  | 'disorder'
  | 'film';

const degree = Math.PI / 180;

/** Below this no pearl travels; it bounds how far beyond the last band a pearl's spectrum can be read. */
export const LOWEST_PLATE_INDEX = 1.7;

// Starts know the kind only, never the toner. Widths and smoothing weights: numerical study of simulated cards.
const UNKNOWNS: Record<EffectKind, readonly Unknown[]> = {
  flake: [
    { quantity: 'flakes', start: 8, width: 1, low: 0.5, high: 80, smooth: 0 },
    { quantity: 'tilt', start: 8 * degree, width: 0.7, low: 2 * degree, high: 20 * degree, smooth: 0 },
    { quantity: 'strays', start: 0.07, width: 1, low: 1e-3, high: 0.4, smooth: 0 },
    { quantity: 'edge', start: 0.05, width: 1, low: 1e-4, high: 0.5, smooth: 0 },
    { quantity: 'reflectance', start: 0.88, width: 1, low: 0.02, high: 0.985, smooth: 3 },
  ],
  pearl: [
    { quantity: 'tilt', start: 8 * degree, width: 0.7, low: 2 * degree, high: 20 * degree, smooth: 0 },
    { quantity: 'strays', start: 0.07, width: 1, low: 1e-3, high: 0.4, smooth: 0 },
    { quantity: 'edge', start: 0.5, width: 1, low: 1e-4, high: 20, smooth: 0 },
    { quantity: 'plateIndex', start: 2, width: 0.1, low: LOWEST_PLATE_INDEX, high: 2.6, smooth: 0 },
    { quantity: 'mirror', start: 2.5, width: 7, low: 1e-3, high: 80, smooth: 3 },
  ],
  absorbing: [
    { quantity: 'scatter', start: 0.5, width: 2, low: 1e-4, high: 100, smooth: 0 },
    { quantity: 'absorption', start: 8, width: 20, low: 1e-4, high: 5000, smooth: 1 },
  ],
  scattering: [
    { quantity: 'disorder', start: 10 * degree, width: 1, low: 0.1 * degree, high: 80 * degree, smooth: 0 },
    { quantity: 'absorption', start: 5, width: 20, low: 1e-4, high: 5000, smooth: 1 },
    { quantity: 'scattering', start: 20, width: 7, low: 1e-4, high: 2000, smooth: 3 },
  ],
  clear: [],
};

/** Film of one coat of a panel against what was expected of it; the width is the panel's own. */
const FILM: Omit<Unknown, 'width'> = { quantity: 'film', start: 1, low: 0.2, high: 5, smooth: 0 };
const BACKSCATTER: Unknown = { quantity: 'scatter', start: 0.25, width: 0.5, low: 0.02, high: 0.5, smooth: 0 };

const encode = (unknown: Unknown, value: number): number =>
  unknown.quantity === 'reflectance' ? Math.log(value / (1 - value)) : Math.log(value);
const decode = (quantity: Quantity, code: number): number =>
  quantity === 'reflectance' ? 1 / (1 + Math.exp(-code)) : Math.exp(code);

/** Where the unknowns of one quantity of one toner stand in the vector: one column, or one per band. */
export interface Place {
  readonly toner: number;
  readonly quantity: Quantity;
  readonly spectral: boolean;
  readonly columns: Int32Array;
}

export interface Unknowns {
  readonly bands: EffectBands;
  readonly kinds: readonly EffectKind[];
  readonly places: readonly Place[];
  /** index of each panel's film of one coat, against what is expected of it */
  readonly films: Int32Array;
  /** index of the book's backscatter part, the last unknown */
  readonly backscatter: number;
  readonly size: number;
  readonly start: Float64Array;
  readonly width: Float64Array;
  readonly low: Float64Array;
  readonly high: Float64Array;
  /** per spectrum: its place and the weight of its second differences */
  readonly smooth: readonly { readonly place: Place; readonly weight: number }[];
}

/**
 * Lays out the unknowns of toners of these kinds: spectra band by band first, single numbers last. `beyond`: extra bands of pearls;
 * `panels`: how well the film of one coat is known of each panel, as a standard deviation of its logarithm.
 */
export function layUnknowns(
  kinds: readonly EffectKind[],
  bands: EffectBands,
  beyond: number,
  panels: readonly number[] = [],
): Unknowns {
  const places: Place[] = [];
  const smooth: { place: Place; weight: number }[] = [];
  const column: Unknown[] = [];
  kinds.forEach((kind, toner) => {
    for (const unknown of UNKNOWNS[kind]) {
      const count = unknown.smooth === 0 ? 1 : bands.count + (unknown.quantity === 'mirror' ? beyond : 0);
      const place = { toner, quantity: unknown.quantity, spectral: unknown.smooth > 0, columns: new Int32Array(count) };
      places.push(place);
      if (place.spectral) smooth.push({ place, weight: unknown.smooth });
    }
  });
  const take = (place: Place, band: number): void => {
    place.columns[band] = column.length;
    column.push(UNKNOWNS[kinds[place.toner]!].find((unknown) => unknown.quantity === place.quantity)!);
  };
  // spectra of pearls meet many bands, so they stand behind the others to keep the normal matrix narrow
  for (const pearls of [false, true]) {
    for (let i = 0; i < bands.count + beyond; i++) {
      for (const { place } of smooth)
        if ((place.quantity === 'mirror') === pearls && i < place.columns.length) take(place, i);
    }
  }
  for (const place of places) if (!place.spectral) take(place, 0);
  const films = Int32Array.from(panels, (width) => column.push({ ...FILM, width }) - 1);
  column.push(BACKSCATTER);
  const vector = (of: (unknown: Unknown) => number): Float64Array => Float64Array.from(column, of);
  return {
    bands,
    kinds,
    places,
    smooth,
    films,
    backscatter: column.length - 1,
    size: column.length,
    start: vector((unknown) => encode(unknown, unknown.start)),
    width: vector((unknown) => unknown.width),
    low: vector((unknown) => encode(unknown, unknown.low)),
    high: vector((unknown) => encode(unknown, unknown.high)),
  };
}

/** The constants of all toners for a vector of unknowns; `shift` is added to one place's unknowns (for derivatives). */
export function tonerConstants(
  unknowns: Unknowns,
  vector: Float64Array,
  toner: number,
  moved?: Place,
  shift = 0,
): EffectToner {
  const { count } = unknowns.bands;
  const spectrum = (quantity: Quantity): Float64Array => {
    const place = placeOf(unknowns, toner, quantity);
    const add = place === moved ? shift : 0;
    return Float64Array.from(place.columns, (column) => decode(quantity, vector[column]! + add));
  };
  const number = (quantity: Quantity): number => {
    const place = placeOf(unknowns, toner, quantity);
    return decode(quantity, vector[place.columns[0]!]! + (place === moved ? shift : 0));
  };
  switch (unknowns.kinds[toner]!) {
    case 'flake':
    case 'pearl':
      return constantsFrom(unknowns.kinds[toner] as 'flake' | 'pearl', number, spectrum);
    case 'scattering':
      return constantsFrom('pigment', number, spectrum);
    case 'absorbing': {
      const scattering = new Float64Array(count).fill(number('scatter'));
      return { kind: 'pigment', absorption: spectrum('absorption'), scattering, disorder: 0 };
    }
    case 'clear':
      return { kind: 'pigment', absorption: new Float64Array(count), scattering: new Float64Array(count), disorder: 0 };
  }
}

function placeOf(unknowns: Unknowns, toner: number, quantity: Quantity): Place {
  return unknowns.places.find((place) => place.toner === toner && place.quantity === quantity)!;
}

/** Films of one coat of each panel, against what is expected of them. */
export const filmsOf = (unknowns: Unknowns, vector: Float64Array): number[] =>
  Array.from(unknowns.films, (column) => Math.exp(vector[column]!));

/** The book's backscatter part for a vector of unknowns. */
export const backscatterOf = (unknowns: Unknowns, vector: Float64Array): number =>
  Math.exp(vector[unknowns.backscatter]!);
