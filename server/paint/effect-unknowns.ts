/**
 * What a fit of effect toners looks for: kinds of toner, their starts, priors and bounds, and how one vector of
 * unknowns becomes toner constants. All unknowns are logarithms (reflectance of a flake: logit), so that no step can
 * leave what is physically possible.
 */
import type { EffectBands, EffectToner } from './effect-model.ts';

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
  | 'reflectance'
  | 'mirror'
  | 'absorption'
  | 'scattering'
  | 'scatter'
  | 'disorder';

const degree = Math.PI / 180;

// Starts know the kind only, never the toner. Widths and smoothing weights: numerical study of simulated cards.
const UNKNOWNS: Record<EffectKind, readonly Unknown[]> = {
  flake: [
    { quantity: 'flakes', start: 8, width: 1, low: 0.5, high: 80, smooth: 0 },
    { quantity: 'tilt', start: 8 * degree, width: 0.7, low: 2 * degree, high: 20 * degree, smooth: 0 },
    { quantity: 'edge', start: 0.05, width: 1, low: 1e-4, high: 0.5, smooth: 0 },
    { quantity: 'reflectance', start: 0.88, width: 1, low: 0.02, high: 0.985, smooth: 3 },
  ],
  pearl: [
    { quantity: 'tilt', start: 8 * degree, width: 0.7, low: 2 * degree, high: 20 * degree, smooth: 0 },
    { quantity: 'edge', start: 0.5, width: 1, low: 1e-4, high: 20, smooth: 0 },
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

const BACKSCATTER: Unknown = { quantity: 'scatter', start: 0.25, width: 0.5, low: 0.02, high: 0.5, smooth: 0 };

const encode = (unknown: Unknown, value: number): number =>
  unknown.quantity === 'reflectance' ? Math.log(value / (1 - value)) : Math.log(value);
const decode = (quantity: Quantity, code: number): number =>
  quantity === 'reflectance' ? 1 / (1 + Math.exp(-code)) : Math.exp(code);

/** Where the unknowns of one quantity of one toner stand in the vector: band i at `at + i * stride` (one number: `at`). */
export interface Place {
  readonly toner: number;
  readonly quantity: Quantity;
  readonly spectral: boolean;
  readonly at: number;
  readonly stride: number;
}

export interface Unknowns {
  readonly bands: EffectBands;
  readonly kinds: readonly EffectKind[];
  readonly places: readonly Place[];
  /** index of the book's backscatter part, the last unknown */
  readonly backscatter: number;
  readonly size: number;
  /** unknowns that stand before the shared ones: spectra, band by band */
  readonly spectral: number;
  readonly start: Float64Array;
  readonly width: Float64Array;
  readonly low: Float64Array;
  readonly high: Float64Array;
  /** per spectrum: its place and the weight of its second differences */
  readonly smooth: readonly { readonly place: Place; readonly weight: number }[];
}

/** Lays out the unknowns of toners of these kinds: spectra band by band first, single numbers last. */
export function layUnknowns(kinds: readonly EffectKind[], bands: EffectBands): Unknowns {
  const all = kinds.flatMap((kind, toner) => UNKNOWNS[kind].map((unknown) => ({ toner, unknown })));
  const spectra = all.filter(({ unknown }) => unknown.smooth > 0);
  const numbers = all.filter(({ unknown }) => unknown.smooth === 0);
  const stride = spectra.length;
  const spectral = stride * bands.count;
  const size = spectral + numbers.length + 1;
  const vectors = {
    start: new Float64Array(size),
    width: new Float64Array(size),
    low: new Float64Array(size),
    high: new Float64Array(size),
  };
  const put = (at: number, unknown: Unknown): void => {
    vectors.start[at] = encode(unknown, unknown.start);
    vectors.width[at] = unknown.width;
    vectors.low[at] = encode(unknown, unknown.low);
    vectors.high[at] = encode(unknown, unknown.high);
  };
  const places: Place[] = [];
  const smooth: { place: Place; weight: number }[] = [];
  spectra.forEach(({ toner, unknown }, at) => {
    const place = { toner, quantity: unknown.quantity, spectral: true, at, stride };
    places.push(place);
    smooth.push({ place, weight: unknown.smooth });
    for (let i = 0; i < bands.count; i++) put(at + i * stride, unknown);
  });
  numbers.forEach(({ toner, unknown }, n) => {
    places.push({ toner, quantity: unknown.quantity, spectral: false, at: spectral + n, stride: 0 });
    put(spectral + n, unknown);
  });
  put(size - 1, BACKSCATTER);
  return { bands, kinds, places, backscatter: size - 1, size, spectral, ...vectors, smooth };
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
    const values = new Float64Array(count);
    for (let i = 0; i < count; i++) values[i] = decode(quantity, vector[place.at + i * place.stride]! + add);
    return values;
  };
  const number = (quantity: Quantity): number => {
    const place = placeOf(unknowns, toner, quantity);
    return decode(quantity, vector[place.at]! + (place === moved ? shift : 0));
  };
  switch (unknowns.kinds[toner]!) {
    case 'flake':
      return {
        kind: 'flake',
        flakes: number('flakes'),
        tilt: number('tilt'),
        edge: number('edge'),
        reflectance: spectrum('reflectance'),
      };
    case 'pearl':
      return { kind: 'pearl', tilt: number('tilt'), edge: number('edge'), mirror: spectrum('mirror') };
    case 'absorbing': {
      const scattering = new Float64Array(count).fill(number('scatter'));
      return { kind: 'pigment', absorption: spectrum('absorption'), scattering, disorder: 0 };
    }
    case 'scattering':
      return {
        kind: 'pigment',
        absorption: spectrum('absorption'),
        scattering: spectrum('scattering'),
        disorder: number('disorder'),
      };
    case 'clear':
      return { kind: 'pigment', absorption: new Float64Array(count), scattering: new Float64Array(count), disorder: 0 };
  }
}

function placeOf(unknowns: Unknowns, toner: number, quantity: Quantity): Place {
  return unknowns.places.find((place) => place.toner === toner && place.quantity === quantity)!;
}

/** The book's backscatter part for a vector of unknowns. */
export const backscatterOf = (unknowns: Unknowns, vector: Float64Array): number =>
  Math.exp(vector[unknowns.backscatter]!);
