/**
 * Effect colours of several coats: a mid coat over its ground, over the undercoat.
 *
 * The two streams of the model pass coat by coat from the undercoat up (adding of layers, van de Hulst 1980, chapter 4), so that a
 * ground may scatter, hold flakes, or both. Light that only mirrors sent to the detector is added up order by order as in one film:
 * what a coat sends itself, what comes through it unturned from below, and what met mirrors of two coats, three mirrors or more.
 */
import type { EffectGeometry } from './effect-geometry.ts';
import {
  type BelowLight,
  type EffectFilm,
  type EffectModel,
  type EffectRates,
  effectReflectance,
  emptyRates,
  lambertian,
  layerLight,
  layerOver,
  mirrorOrders,
  mixRates,
  streamRates,
  throughSurface,
} from './effect-model.ts';

/** One coat: what is in it, and how thick it is. */
export type EffectLayer = Pick<EffectFilm, 'toners' | 'shares' | 'thickness'>;

/** A film that has other coats between it and the undercoat. */
export interface CoatedFilm extends EffectFilm {
  /** From the coat right below down to the ground; absent or empty: the film lies on the undercoat. */
  readonly below?: readonly EffectLayer[];
}

/** Reflectance factor of all coats together, angle-major, as of one film. */
export function coatedReflectance(model: EffectModel, film: CoatedFilm): Float64Array {
  if (!film.below || film.below.length === 0) return effectReflectance(model, film);
  const upwards = [...film.below]
    .reverse()
    .concat(film)
    .map((coat) => mixed(model, coat, film.undercoat));
  const { count } = model.bands;
  const reflectance = new Float64Array(model.geometries.length * count);
  model.geometries.forEach((geometry, a) => {
    for (let i = 0; i < count; i++) {
      let below: Seen = { light: lambertian(film.undercoat[i]!), mirrored: 0, lobe: 0 };
      for (const coat of upwards) below = seenThrough(model, geometry, coat, a, i, below);
      reflectance[a * count + i] = geometry.mirrorGain * below.mirrored + throughSurface(geometry, below.light);
    }
  });
  return reflectance;
}

interface MixedCoat {
  readonly rates: EffectRates;
  readonly thickness: number;
}

function mixed(model: EffectModel, coat: EffectLayer, undercoat: ArrayLike<number>): MixedCoat {
  const rates = emptyRates(model);
  mixRates(model, { ...coat, undercoat }, rates);
  return { rates, thickness: coat.thickness };
}

/** What a stack of coats gives back at one angle and band. */
interface Seen {
  readonly light: BelowLight;
  /** Light that only mirrors sent to the detector, before the surface. */
  readonly mirrored: number;
  /** Density of flake normals for light that met three mirrors of the topmost coat that has any. */
  readonly lobe: number;
}

function seenThrough(
  model: EffectModel,
  geometry: EffectGeometry,
  { rates, thickness }: MixedCoat,
  angle: number,
  band: number,
  below: Seen,
): Seen {
  const at = angle * model.bands.count + band;
  const mirror = rates.mirror[at]!;
  const layer = layerLight(streamRates(model, rates, angle, band), thickness);
  const light = layerOver(layer, below.light);
  const alpha = rates.hits[at]! + ((rates.absorption[band]! + rates.scattering[band]!) * geometry.path) / 2;
  const unturned = Math.exp(-2 * alpha * thickness);
  const lobe = mirror === 0 ? below.lobe : rates.lobe3[angle]!;
  // nothing is turned between two coats where one of them has no mirrors
  const turned = mirror === 0 || below.lobe === 0 ? 0 : light.cc - layer.rcc - unturned * below.light.cc;
  const mirrored = unturned * below.mirrored + (Math.max(turned, 0) * (lobe + below.lobe)) / 2;
  if (mirror === 0) return { light, mirrored, lobe };
  const orders = mirrorOrders(alpha, mirror, thickness);
  const own = (orders.first * rates.lobe[at]!) / mirror + orders.third * lobe + orders.later * rates.lobe7[angle]!;
  return { light, mirrored: mirrored + own, lobe };
}
