import { fresnel } from './surface.ts';

/** A thin plate of index 2.2 in a medium of 1.5: what makes a pearl. `path` is n times thickness in nm; `boost` its finesse gain. */
export interface Plate {
  path: number;
  boost: number;
}

const plateIndex = 2.2;
const mediumIndex = 1.5;
const levels = 128;

/** Reflectance of the plate: `at(incidence, band)` for a cosine of incidence in the medium; the rest goes through unturned. */
export interface PlateTable {
  at(incidence: number, band: number): number;
  /** Mean over all bands, to choose whether a ray is thrown back or goes through. */
  mean(incidence: number): number;
}

/** Two-beam interference of a plate with a finesse: R = x/(1+x), x = b 4r/(1-r)^2 sin^2(2 pi n d cos / lambda) (Airy). */
export function plateTable({ path, boost }: Plate, wavelengths: readonly number[]): PlateTable {
  const bands = wavelengths.length;
  const table = new Float64Array((levels + 1) * bands);
  const means = new Float64Array(levels + 1);
  for (let i = 0; i <= levels; i++) {
    const incidence = Math.max(i / levels, 1e-3);
    const single = fresnel(incidence, mediumIndex, plateIndex);
    const sineInside = (mediumIndex / plateIndex) * Math.sqrt(1 - incidence * incidence);
    const cosineInside = Math.sqrt(1 - sineInside * sineInside);
    for (let k = 0; k < bands; k++) {
      const phase = Math.sin((2 * Math.PI * path * cosineInside) / wavelengths[k]!);
      const x = ((boost * 4 * single) / (1 - single) ** 2) * phase * phase;
      table[i * bands + k] = x / (1 + x);
      means[i]! += x / (1 + x) / bands;
    }
  }
  const between = (values: Float64Array, stride: number, offset: number, incidence: number) => {
    const place = incidence * levels;
    const i = Math.min(levels - 1, Math.floor(place));
    const low = values[i * stride + offset]!;
    return low + (place - i) * (values[(i + 1) * stride + offset]! - low);
  };
  return {
    at: (incidence, band) => between(table, bands, band, incidence),
    mean: (incidence) => between(means, 1, 0, incidence),
  };
}
