import { ILLUMINANT_STEP, ILLUMINANT_TABLES, type IlluminantTable } from './data/cie-illuminants.ts';
import { lagrangeShares } from './lagrange.ts';

/** Range of all sums over wavelength, as in the tables of ASTM E308, nm. */
export const FIRST_NM = 360;
export const LAST_NM = 780;

/** Name of a CIE illuminant: daylight, incandescent A, the older C, fluorescent lamps and the LED lamps of CIE 015:2018. */
export type Illuminant = keyof typeof ILLUMINANT_TABLES;

/** All illuminants, in the order in which they are offered. */
export const ILLUMINANTS = Object.keys(ILLUMINANT_TABLES) as readonly Illuminant[];

export function isIlluminant(name: string): name is Illuminant {
  return Object.hasOwn(ILLUMINANT_TABLES, name);
}

/**
 * Relative spectral power at 360..780 nm, 1 nm, 0 where the CIE's table does not reach.
 *
 * Between its 5 nm steps D65 runs on straight lines, as in the CIE's own 1 nm table of it. All others are interpolated by
 * Lagrange's polynomials: that gives the weights and white points of ASTM E308 for D50, A, C and the F lamps to the last
 * digit or two, where straight lines miss by up to 0.8 on a lamp's lines.
 */
export function relativePowers(illuminant: Illuminant): Float64Array {
  const { start, power }: IlluminantTable = ILLUMINANT_TABLES[illuminant];
  const share = new Float64Array(4);
  const at = (nm: number): number => {
    const place = (nm - start) / ILLUMINANT_STEP;
    if (place < 0) return 0;
    if (illuminant === 'D65') return straight(power, place);
    const base = lagrangeShares(place, power.length, share);
    return share.reduce((sum, part, k) => (part === 0 ? sum : sum + part * power[base + k]!), 0);
  };
  return Float64Array.from({ length: LAST_NM - FIRST_NM + 1 }, (_, i) => at(FIRST_NM + i));
}

function straight(power: Float64Array, place: number): number {
  const below = Math.floor(place);
  const part = place - below;
  return part === 0 ? power[below]! : power[below]! * (1 - part) + power[below + 1]! * part;
}
