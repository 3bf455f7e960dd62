/**
 * Reflectance factor of effect colours per measuring angle: flakes as tilted mirrors, order by order, with a
 * four-flux diffuse part for pigments, flake edges and the undercoat.
 *
 * Lobe and Jacobian of the flakes: Germer and Marx 2004 (flakes under a smooth coating). Layers by doubling: Ershov,
 * Kolchin and Myszkowski 2001. Orders of reflection: the power series of the two-flux layer (Catalan numbers).
 * Two streams run through the film: the mirror stream, which keeps its direction but for the flakes' tilt, and the
 * diffuse stream. A film thickness of 1 is the thickness that the constants were learned at.
 */
import { BINDER_INDEX, type EffectGeometry, internalDiffuseReflectance } from './effect-geometry.ts';

/** Bands of all spectra: first wavelength, step (nm) and how many. */
export interface EffectBands {
  readonly start: number;
  readonly step: number;
  readonly count: number;
}

/** Metal flake: an opaque mirror. */
export interface FlakeConstants {
  readonly kind: 'flake';
  /** flake area per share and film thickness */
  readonly flakes: number;
  /** standard deviation of the tilt, radians */
  readonly tilt: number;
  /** part of the flakes that lies badly (tilt of BAD_TILT), 0 to 1 */
  readonly strays: number;
  /** part of the reflected light that edges scatter evenly, 0 to 1 */
  readonly edge: number;
  /** reflectance of the flake, per band */
  readonly reflectance: Float64Array;
}

/** Interference flake: reflects a part of the light and lets the rest through unturned. */
export interface PearlConstants {
  readonly kind: 'pearl';
  readonly tilt: number;
  readonly strays: number;
  /** light scattered by edges, per share and film thickness */
  readonly edge: number;
  /** mean refractive index of the plate; sets how fast the hue travels */
  readonly plateIndex: number;
  /**
   * flake area times reflectance at normal incidence, per share and film thickness, per band; may go on beyond the
   * last band, because slanting angles read it there
   */
  readonly mirror: Float64Array;
}

/** Dye, pigment or flop control: absorbs, scatters, and may keep flakes from lying flat. */
export interface PigmentConstants {
  readonly kind: 'pigment';
  /** absorption per share and film thickness, per band */
  readonly absorption: Float64Array;
  /** scattering per share and film thickness, per band */
  readonly scattering: Float64Array;
  /** tilt that one share adds to flakes (in quadrature), radians */
  readonly disorder: number;
}

export type EffectToner = FlakeConstants | PearlConstants | PigmentConstants;

/** The constants of a toner, each asked for by its name. */
export function constantsFrom(
  kind: EffectToner['kind'],
  number: (name: 'flakes' | 'tilt' | 'strays' | 'edge' | 'plateIndex' | 'disorder') => number,
  spectrum: (name: 'reflectance' | 'mirror' | 'absorption' | 'scattering') => Float64Array,
): EffectToner {
  switch (kind) {
    case 'flake':
      return {
        kind,
        flakes: number('flakes'),
        tilt: number('tilt'),
        strays: number('strays'),
        edge: number('edge'),
        reflectance: spectrum('reflectance'),
      };
    case 'pearl':
      return {
        kind,
        tilt: number('tilt'),
        strays: number('strays'),
        edge: number('edge'),
        plateIndex: number('plateIndex'),
        mirror: spectrum('mirror'),
      };
    case 'pigment':
      return {
        kind,
        absorption: spectrum('absorption'),
        scattering: spectrum('scattering'),
        disorder: number('disorder'),
      };
  }
}

/** A dry film: what is in it, how thick, over what. Shares are parts of the dry coat; the rest of 1 is clear binder. */
export interface EffectFilm {
  readonly toners: readonly EffectToner[];
  readonly shares: ArrayLike<number>;
  /** film thickness in units of the constants' film thickness */
  readonly thickness: number;
  /** reflectance of the undercoat seen from inside the film (Lambertian), per band */
  readonly undercoat: ArrayLike<number>;
}

/** What all films of a book share. */
export interface EffectModel {
  readonly bands: EffectBands;
  readonly geometries: readonly EffectGeometry[];
  /** part of the scattered mirror light that goes back up, for 45as45 (0.25: the hemisphere of the phase function) */
  readonly backscatter: number;
}

/** Tilt of strays: flakes that lie badly. The cards tell their part, hardly their tilt. */
const STRAY_TILT = (16 * Math.PI) / 180;

/** 3/4 (1 - g) with g = 0.5: what forward-peaked scattering is worth to a diffuse stream. */
const DIFFUSE_SCATTERING = 0.375;

/** Films are built from 2^8 equal layers per unit thickness; with the midpoint rule the rest error is below 1e-4. */
const DOUBLINGS = 8;

const SURFACE_RETURN = internalDiffuseReflectance(BINDER_INDEX);

/**
 * Where a pearl's spectrum is read at an angle, in bands (not whole): a thin film at a slant shows its spectrum moved to
 * shorter wavelengths, by the cosine of the angle inside the plate.
 */
export function pearlPosition(bands: EffectBands, geometry: EffectGeometry, plateIndex: number, band: number): number {
  const sine = (BINDER_INDEX / plateIndex) * Math.sin(geometry.incidence);
  return ((bands.start + band * bands.step) / Math.sqrt(1 - sine * sine) - bands.start) / bands.step;
}

/** Rates per unit depth of a mixed film; arrays per band, or per angle and band (angle-major). */
export interface EffectRates {
  readonly absorption: Float64Array;
  readonly scattering: Float64Array;
  /** hits on flakes */
  readonly hits: Float64Array;
  /** hits that leave as from a mirror */
  readonly mirror: Float64Array;
  /** hits that leave evenly, from edges */
  readonly edge: Float64Array;
  /** sum over flakes of mirror times the density of flake normals that look into the detector */
  readonly lobe: Float64Array;
  /** the same density for light that met 3 mirrors, and for more, per angle */
  readonly lobe3: Float64Array;
  readonly lobe7: Float64Array;
}

export function emptyRates(model: EffectModel): EffectRates {
  const { count } = model.bands;
  const all = model.geometries.length * count;
  return {
    absorption: new Float64Array(count),
    scattering: new Float64Array(count),
    hits: new Float64Array(all),
    mirror: new Float64Array(all),
    edge: new Float64Array(all),
    lobe: new Float64Array(all),
    lobe3: new Float64Array(model.geometries.length),
    lobe7: new Float64Array(model.geometries.length),
  };
}

/** Density of flake normals per steradian at the mirror tilt of an angle, for a variance of tilt (radians²). */
function normalsAt(geometry: EffectGeometry, variance: number): number {
  const seen = Math.min(variance + geometry.halfAperture ** 2 / 4, 1.5);
  return Math.exp(-(geometry.tilt ** 2) / (2 * seen)) / (2 * Math.PI * seen * (1 - seen / 3));
}

/** The same after q mirrors, of which none, one or two and more are strays; variances of tilt add up. */
function normalsAfter(
  geometry: EffectGeometry,
  q: number,
  variance: number,
  strayVariance: number,
  strays: number,
): number {
  const none = (1 - strays) ** q;
  const one = q * strays * (1 - strays) ** (q - 1);
  return (
    none * normalsAt(geometry, q * variance) +
    one * normalsAt(geometry, (q - 1) * variance + strayVariance) +
    (1 - none - one) * normalsAt(geometry, (q - 2) * variance + 2 * strayVariance)
  );
}

/** Mixes the toners of a film to rates per unit depth, into `rates`. */
export function mixRates(model: EffectModel, film: EffectFilm, rates: EffectRates): void {
  const { count } = model.bands;
  for (const values of Object.values(rates) as Float64Array[]) values.fill(0);
  let disorder = 0;
  film.toners.forEach((toner, j) => {
    const share = film.shares[j]!;
    if (toner.kind !== 'pigment') return;
    disorder += (share * toner.disorder) ** 2;
    for (let i = 0; i < count; i++) {
      rates.absorption[i]! += share * toner.absorption[i]!;
      rates.scattering[i]! += share * toner.scattering[i]!;
    }
  });
  let mirrors = 0;
  let variances = 0;
  let strays = 0;
  film.toners.forEach((toner, j) => {
    if (toner.kind === 'pigment') return;
    const variance = toner.tilt ** 2 + disorder;
    const added = addFlakes(model, toner, film.shares[j]!, variance, STRAY_TILT ** 2 + disorder, rates);
    mirrors += added;
    variances += added * variance;
    strays += added * toner.strays;
  });
  if (mirrors === 0) return;
  const variance = variances / mirrors;
  const stray = strays / mirrors;
  model.geometries.forEach((geometry, a) => {
    rates.lobe3[a] = normalsAfter(geometry, 3, variance, STRAY_TILT ** 2 + disorder, stray);
    rates.lobe7[a] = normalsAfter(geometry, 7, variance, STRAY_TILT ** 2 + disorder, stray);
  });
}

/** Adds one flake or pearl; returns its mirror rate summed over angles and bands, the weight of its tilt. */
function addFlakes(
  model: EffectModel,
  toner: FlakeConstants | PearlConstants,
  share: number,
  variance: number,
  strayVariance: number,
  rates: EffectRates,
): number {
  const { count } = model.bands;
  let sum = 0;
  model.geometries.forEach((geometry, a) => {
    const density =
      (1 - toner.strays) * normalsAt(geometry, variance) + toner.strays * normalsAt(geometry, strayVariance);
    for (let i = 0, at = a * count; i < count; i++, at++) {
      let mirror: number;
      if (toner.kind === 'flake') {
        const flakes = share * toner.flakes;
        const reflected = flakes * toner.reflectance[i]!;
        mirror = reflected * (1 - toner.edge);
        rates.hits[at]! += flakes;
        rates.edge[at]! += reflected * toner.edge;
      } else {
        mirror = share * readBetween(toner.mirror, pearlPosition(model.bands, geometry, toner.plateIndex, i));
        rates.hits[at]! += mirror + share * toner.edge;
        rates.edge[at]! += share * toner.edge;
      }
      rates.mirror[at]! += mirror;
      rates.lobe[at]! += mirror * density;
      sum += mirror;
    }
  });
  return sum;
}

/** Reads a positive spectrum between its bands, linear in the logarithm (so that the fit is linear in its unknowns). */
function readBetween(spectrum: Float64Array, position: number): number {
  const left = Math.min(Math.floor(position), spectrum.length - 2);
  const part = Math.min(position - left, 1);
  const a = spectrum[left]!;
  const b = spectrum[left + 1]!;
  return part === 0 ? a : part === 1 ? b : a * (b / a) ** part;
}

/** Light that only mirrors sent to the detector, per angle and band. */
export function mirrorLight(model: EffectModel, rates: EffectRates, thickness: number, out: Float64Array): void {
  const { count } = model.bands;
  model.geometries.forEach((geometry, a) => {
    const lobe3 = rates.lobe3[a]!;
    const lobe7 = rates.lobe7[a]!;
    for (let i = 0, at = a * count; i < count; i++, at++) {
      const b = rates.mirror[at]!;
      if (b === 0) {
        out[at] = 0;
        continue;
      }
      const alpha = rates.hits[at]! + ((rates.absorption[i]! + rates.scattering[i]!) * geometry.path) / 2;
      const orders = mirrorOrders(alpha, b, thickness);
      const first = (orders.first * rates.lobe[at]!) / b;
      out[at] = geometry.mirrorGain * (first + orders.third * lobe3 + orders.later * lobe7);
    }
  });
}

/**
 * Light returned after one, three and more mirrors by a layer of the two-flux kind (extinction alpha, mirror rate b).
 * Thick films: the power series of the two-flux value in b/(2 alpha), whose terms are Catalan numbers. Thin films: the
 * first order is exact, the rest of the two-flux value is shared out as in the thick film.
 */
export function mirrorOrders(
  alpha: number,
  b: number,
  thickness: number,
): { first: number; third: number; later: number } {
  const gamma = Math.sqrt(Math.max(alpha * alpha - b * b, 0));
  const all = b / (alpha + gamma);
  const x = b / (2 * alpha);
  const cubed = x * x * x;
  const first = -x * Math.expm1(-2 * alpha * thickness);
  const reach = gamma * thickness < 1e-6 ? thickness : Math.tanh(gamma * thickness) / gamma;
  const returned = (b * reach) / (1 + alpha * reach);
  const beyond = all - x;
  const grown = beyond > 1e-15 ? Math.min(Math.max((returned - first) / beyond, 0), 1) : 0;
  return { first, third: grown * cubed, later: grown * Math.max(beyond - cubed, 0) };
}

/** Light that was scattered at least once, by pigment, flake edge or undercoat, per angle and band. */
export function diffuseLight(
  model: EffectModel,
  rates: EffectRates,
  thickness: number,
  undercoat: ArrayLike<number>,
  out: Float64Array,
): void {
  const { count } = model.bands;
  model.geometries.forEach((geometry, a) => {
    for (let i = 0; i < count; i++) {
      const film = layerOver(layerLight(streamRates(model, rates, a, i), thickness), lambertian(undercoat[i]!));
      out[a * count + i] = throughSurface(geometry, film);
    }
  });
}

/** Diffuse light that leaves through the surface towards the detector. */
export const throughSurface = (geometry: EffectGeometry, { dc, dd }: BelowLight): number =>
  (geometry.diffuseGain * dc) / (1 - SURFACE_RETURN * dd);

export function streamRates(model: EffectModel, rates: EffectRates, angle: number, band: number): StreamRates {
  const { path, scatterLobe } = model.geometries[angle]!;
  const at = angle * model.bands.count + band;
  const k = rates.absorption[band]!;
  const s = rates.scattering[band]!;
  const hits = rates.hits[at]!;
  const mirror = rates.mirror[at]!;
  const edge = rates.edge[at]!;
  const up = model.backscatter * scatterLobe;
  const scattered = (s * path) / 2;
  const spread = DIFFUSE_SCATTERING * s;
  return {
    mirrorLoss: hits + ((k + s) * path) / 2,
    mirrorBack: mirror,
    diffuseLoss: 2 * k + spread + hits - edge / 2,
    diffuseBack: spread + mirror + edge / 2,
    toDown: (1 - up) * scattered + edge / 2,
    toUp: up * scattered + edge / 2,
  };
}

/** Rates per unit depth of the two streams: losses, what turns back, and what the mirror stream feeds to the diffuse. */
export interface StreamRates {
  readonly mirrorLoss: number;
  readonly mirrorBack: number;
  readonly diffuseLoss: number;
  readonly diffuseBack: number;
  readonly toDown: number;
  readonly toUp: number;
}

/** What a layer does to the two streams: reflected and transmitted, mirror to mirror, mirror to diffuse, diffuse to diffuse. */
export interface LayerLight {
  readonly rcc: number;
  readonly rdc: number;
  readonly rdd: number;
  readonly tcc: number;
  readonly tdc: number;
  readonly tdd: number;
}

/** Reflectances of all that lies below a layer, in the same order. */
export interface BelowLight {
  readonly cc: number;
  readonly dc: number;
  readonly dd: number;
}

/** A Lambertian undercoat turns both streams into diffuse light. */
export const lambertian = (reflectance: number): BelowLight => ({ cc: 0, dc: reflectance, dd: reflectance });

/**
 * The two streams through a film. A thin layer by the midpoint rule, which keeps energy and the thick-film limit exactly, is
 * doubled; no case (nothing absorbs, nothing scatters, thin, thick) needs a formula of its own. Streams couple one way (mirror to
 * diffuse), so every 2x2 matrix is lower triangular: cc mirror to mirror, dc mirror to diffuse, dd diffuse to diffuse.
 */
export function layerLight(rates: StreamRates, thickness: number): LayerLight {
  const doublings = DOUBLINGS + Math.max(0, Math.ceil(Math.log2(thickness)));
  const half = thickness / 2 ** (doublings + 1);
  // sum and difference of the light that enters at both faces are transmitted each by its own Cayley factor
  const sumC = half * (rates.mirrorLoss - rates.mirrorBack);
  const sumD = half * (rates.diffuseLoss - rates.diffuseBack);
  const difC = half * (rates.mirrorLoss + rates.mirrorBack);
  const difD = half * (rates.diffuseLoss + rates.diffuseBack);
  const sumDc = (2 * half * (rates.toDown + rates.toUp)) / ((1 + sumC) * (1 + sumD));
  const difDc = (2 * half * (rates.toDown - rates.toUp)) / ((1 + difC) * (1 + difD));
  const sumCc = (1 - sumC) / (1 + sumC);
  const difCc = (1 - difC) / (1 + difC);
  const sumDd = (1 - sumD) / (1 + sumD);
  const difDd = (1 - difD) / (1 + difD);
  let tcc = (sumCc + difCc) / 2;
  let rcc = (sumCc - difCc) / 2;
  let tdc = (sumDc + difDc) / 2;
  let rdc = (sumDc - difDc) / 2;
  let tdd = (sumDd + difDd) / 2;
  let rdd = (sumDd - difDd) / 2;
  for (let i = 0; i < doublings; i++) {
    // between two equal layers: I = (1 - R R)^-1, then R + T I R T and T I T
    const icc = 1 / (1 - rcc * rcc);
    const idd = 1 / (1 - rdd * rdd);
    const idc = icc * idd * rdc * (rcc + rdd);
    const pcc = tcc * icc;
    const pdd = tdd * idd;
    const pdc = tdc * icc + tdd * idc;
    const qcc = pcc * rcc;
    const qdd = pdd * rdd;
    const qdc = pdc * rcc + pdd * rdc;
    rdc += qdc * tcc + qdd * tdc;
    rcc += qcc * tcc;
    rdd += qdd * tdd;
    tdc = pdc * tcc + pdd * tdc;
    tcc = pcc * tcc;
    tdd = pdd * tdd;
  }
  return { rcc, rdc, rdd, tcc, tdc, tdd };
}

/** What a layer gives back together with all that lies below it: R + T (1 - U R)^-1 U T. */
export function layerOver(layer: LayerLight, below: BelowLight): BelowLight {
  const { rcc, rdc, rdd, tcc, tdc, tdd } = layer;
  const icc = 1 / (1 - below.cc * rcc);
  const idd = 1 / (1 - below.dd * rdd);
  const idc = icc * idd * (below.dc * rcc + below.dd * rdc);
  const upC = below.cc * tcc;
  const upD = below.dc * tcc + below.dd * tdc;
  return {
    cc: rcc + tcc * icc * upC,
    dc: rdc + tdc * icc * upC + tdd * (idc * upC + idd * upD),
    dd: rdd + tdd * idd * below.dd * tdd,
  };
}

/**
 * Reflectance factor of a film, angle-major: value of angle a and band i at [a * bands + i]. May exceed 1 (a flake sends
 * more to one angle than a white does); never negative. The gloss of the surface is in none of the angles.
 */
export function effectReflectance(model: EffectModel, film: EffectFilm): Float64Array {
  const rates = emptyRates(model);
  mixRates(model, film, rates);
  const mirrored = new Float64Array(rates.hits.length);
  const diffuse = new Float64Array(rates.hits.length);
  mirrorLight(model, rates, film.thickness, mirrored);
  diffuseLight(model, rates, film.thickness, film.undercoat, diffuse);
  for (let at = 0; at < diffuse.length; at++) diffuse[at]! += mirrored[at]!;
  return diffuse;
}
