import { type Film, flat, type Layer, mix, type TonerOptics } from '../film.ts';
import { normal, randomFrom } from '../random.ts';
import { simulate } from '../simulate.ts';
import type { Geometry } from '../surface.ts';
import { type Coat, dryMass, type HandWritten } from './book.ts';
import { optics } from './optics.ts';

/** What an instrument of the shop reads: five angles, or 45/0, which is the same light path as 45as45. */
export type Angle = '45as15' | '45as25' | '45as45' | '45as75' | '45as110' | '45/0';
export const fiveAngles: readonly Angle[] = ['45as15', '45as25', '45as45', '45as75', '45as110'];
export const flatAngle: readonly Angle[] = ['45/0'];

export type Spectra = ReadonlyMap<Angle, Float64Array>;

/** A sprayed panel. The hand that sprays and the film gauge are never quite right: `id` fixes how much they are off. */
export interface Panel {
  id: string;
  coats: readonly Coat[];
  /** Dry film in um of the top coat, or of the ground with each mid coat on top. */
  film: number;
  over: string;
  angles: readonly Angle[];
}

const unitOfThickness = 15;
const midCoat = 7;

/** Number of rays: enough for about 0.5 % near the gloss and on solids, 1 to 2 % on a dark flop. */
const raysFor = (angles: readonly Angle[]) => (angles.length > 1 ? 16_000 : 30_000);

/**
 * Sprays and reads a panel: reflectance factors at each angle, before the instrument's own noise. A test that can do with twice
 * the noise asks for fewer `rays`.
 */
export function spray({ id, coats, film, over, angles }: Panel, book: HandWritten, rays = raysFor(angles)): Spectra {
  const random = randomFrom(seedOf(id));
  const tilting = 1 + 0.015 * normal(random);
  const building = 1 + 0.03 * normal(random);
  const layers: Layer[] = [];
  for (const { name, times, parts } of coats) {
    const thickness = ((name === 'mid' ? midCoat * times : film) / unitOfThickness) * building;
    layers.unshift(mix(dryShares(dryMass(book, parts), tilting), thickness));
  }
  const panel: Film = { index: 1.5, layers, undercoat: flat(internal(over)) };
  const geometries = angles.map((angle): Geometry => (angle === '45/0' ? '45as45' : angle));
  const { reflectance } = simulate(panel, { rays, seed: seedOf(id), geometries });
  return new Map(angles.map((angle, i) => [angle, reflectance[geometries[i]!]]));
}

/** Shares of the dry film; flakes that lie a little flatter or looser by the hand of the day. */
function dryShares(dry: ReadonlyMap<string, number>, tilting: number): [TonerOptics, number][] {
  const sum = [...dry.values()].reduce((total, mass) => total + mass, 0);
  return [...dry].map(([code, mass]) => {
    const toner = optics[code]!;
    return [toner.kind === 'pigment' ? toner : { ...toner, sigma: toner.sigma * tilting }, mass / sum];
  });
}

/** Internal reflectance of what lies below, from its L* as read through a surface of n = 1.5 at 45/0. */
function internal(over: string): number {
  if (over === 'black') return 0.02;
  if (over === 'white') return 0.93;
  const value = Number(over.slice(over.lastIndexOf('N') + 1));
  // ASTM D1535: luminous reflectance of a Munsell neutral value, per cent.
  const y = value * (1.1914 + value * (-0.22533 + value * (0.23352 + value * (-0.020484 + value * 0.00081939)))) * 0.01;
  return y / (0.4052 + 0.5963 * y);
}

/** A seed from a name (FNV-1a), so that an entry keeps its figures when others come or go. */
export function seedOf(name: string): number {
  let hash = 0x811c9dc5;
  for (let i = 0; i < name.length; i++) hash = Math.imul(hash ^ name.charCodeAt(i), 0x01000193);
  return hash >>> 0;
}
