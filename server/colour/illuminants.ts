import { ILLUMINANT_STEP, ILLUMINANT_TABLES, type IlluminantTable } from './data/cie-illuminants.ts';

/** Name of a CIE illuminant: daylight, incandescent A, the older C, fluorescent lamps and the LED lamps of CIE 015:2018. */
export type Illuminant = keyof typeof ILLUMINANT_TABLES;

/** All illuminants, in the order in which they are offered. */
export const ILLUMINANTS = Object.keys(ILLUMINANT_TABLES) as readonly Illuminant[];

export function isIlluminant(name: string): name is Illuminant {
  return Object.hasOwn(ILLUMINANT_TABLES, name);
}

/** Whether the illuminant is a lamp whose table was made of 5 nm bands, spectral lines spread into them (CIE 015). */
export function isLamp(illuminant: Illuminant): boolean {
  return illuminant.startsWith('F') || illuminant.startsWith('LED');
}

/**
 * Relative spectral power at a wavelength in nm, 0 outside the CIE's table. Between its 5 nm steps on a straight line:
 * that is how the CIE defines its daylight illuminants, and lamps are not smooth enough for anything higher.
 */
export function relativePower(illuminant: Illuminant, wavelength: number): number {
  const { start, power }: IlluminantTable = ILLUMINANT_TABLES[illuminant];
  const place = (wavelength - start) / ILLUMINANT_STEP;
  const below = Math.floor(place);
  if (below < 0 || place > power.length - 1) return 0;
  const part = place - below;
  return part === 0 ? power[below]! : power[below]! * (1 - part) + power[below + 1]! * part;
}
