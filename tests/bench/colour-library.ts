import { labsOfSpectra } from '../../server/colour/lab.ts';
import { tristimulusWeights } from '../../server/colour/weights.ts';
import { stream } from '../server/colour/random-lab.ts';

export const WAVELENGTHS = 31;

/** Absorption of made-up toners, 400..700/10: a floor and one or two bands each. */
function toners(next: () => number): Float64Array[] {
  return Array.from({ length: 24 }, () => {
    const bands = Array.from({ length: 1 + Math.floor(2 * next()) }, () => [
      400 + 300 * next(),
      15 + 60 * next(),
      8 * next(),
    ]);
    const floor = 0.05 * next();
    return Float64Array.from({ length: WAVELENGTHS }, (_, i) =>
      bands.reduce(
        (sum, [centre, width, height]) => sum + height! * Math.exp(-(((400 + 10 * i - centre!) / width!) ** 2)),
        floor,
      ),
    );
  });
}

/**
 * Spectra of `readings` x `angles`, as crowded as a paint book: mixtures of a few toners in one scattering white or flake, seen
 * brighter near the gloss. One after the other, 31 reflectances each; called reading by reading to keep memory small.
 */
export function eachReading(
  readings: number,
  angles: number,
  seed: number,
  use: (spectra: Float64Array, reading: number) => void,
): void {
  const next = stream(seed);
  const shelf = toners(stream(4));
  const spectra = new Float64Array(angles * WAVELENGTHS);
  for (let reading = 0; reading < readings; reading++) {
    const K = new Float64Array(WAVELENGTHS);
    for (let n = 2 + Math.floor(4 * next()); n > 0; n--) {
      const toner = shelf[Math.floor(24 * next())]!;
      const amount = next() ** 2;
      for (let i = 0; i < WAVELENGTHS; i++) K[i]! += amount * toner[i]!;
    }
    const travel = next() < 0.5 ? 0 : next();
    for (let angle = 0; angle < angles; angle++) {
      const light = 1 + travel * (1.6 - (2.2 * angle) / angles);
      for (let i = 0; i < WAVELENGTHS; i++) {
        const ratio = K[i]!;
        spectra[angle * WAVELENGTHS + i] = (0.9 * light) / (1 + ratio + Math.sqrt(ratio * ratio + 2 * ratio));
      }
    }
    use(spectra, reading);
  }
}

/** L*, a*, b* of each angle of each reading, D65/10, one after the other. */
export function labLibrary(readings: number, angles: number, seed: number): Float64Array {
  const weights = tristimulusWeights('D65', '10', 400, 10, WAVELENGTHS);
  const labs = new Float64Array(3 * angles * readings);
  eachReading(readings, angles, seed, (spectra, reading) => {
    labsOfSpectra(spectra, weights, labs.subarray(3 * angles * reading, 3 * angles * (reading + 1)));
  });
  return labs;
}
