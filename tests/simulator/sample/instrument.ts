import { labOfSpectrum } from '../../../server/colour/lab.ts';
import { wavelengths } from '../film.ts';
import { normal, randomFrom } from '../random.ts';
import { type Angle, type Spectra, seedOf } from './spray.ts';

/** What no instrument gets rid of: haze and dust on the panel, read as a little light even on black. */
const haze = (angle: Angle) => (angle === '45/0' ? 0.0015 : 0.0003);

/** The reading as an instrument gives it: haze, noise `common` to the whole spectrum of an angle, and 0.0002 on each band. */
export function withNoise(id: string, spectra: Spectra, common: number): Spectra {
  const random = randomFrom(seedOf(`read ${id}`));
  const noisy = [...spectra].map(([angle, spectrum]) => {
    const factor = Math.exp(common * normal(random));
    return [
      angle,
      spectrum.map((value) => Math.max(0, value * factor + haze(angle) + 0.0002 * normal(random))),
    ] as const;
  });
  return new Map(noisy);
}

/** Lab of a spectrum, D65 and 10 degrees: as the book judges. */
export function lab(spectrum: Float64Array): readonly [number, number, number] {
  return labOfSpectrum({ start: wavelengths[0]!, step: 10, values: spectrum }, 'D65', '10');
}
