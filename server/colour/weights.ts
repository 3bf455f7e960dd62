import { FIRST_NM, type Illuminant, LAST_NM, relativePowers } from './illuminants.ts';
import { lagrangeShares } from './lagrange.ts';
import { colourMatching, type Observer } from './observers.ts';

/** Tristimulus values, Y = 100 for the perfect diffuser. */
export type XYZ = readonly [number, number, number];

/**
 * Whether the instrument, or its software, has already taken the width of its pass band out of the spectrum (nearly all
 * bench instruments do), or has not.
 */
export type Bandpass = 'corrected' | 'uncorrected';

/** Factors that turn reflectance at given wavelengths into X, Y, Z by three sums. */
export interface TristimulusWeights {
  readonly start: number;
  readonly step: number;
  readonly count: number;
  /** 3 x count figures: wX, wY, wZ of the first wavelength, then of the next. */
  readonly values: Float64Array;
  /** X, Y, Z of the perfect diffuser by these very weights. */
  readonly white: XYZ;
}

/** What a spectrum has to be like, nm: it must begin and end where colour is still seen, or folding its ends means nothing. */
const LATEST_START = 420;
const EARLIEST_END = 660;
const LARGEST_STEP = 20;

const cache = new Map<string, TristimulusWeights>();

/**
 * Weights for a spectrum of `count` values from `start` nm at `step` nm (whole numbers; 5, 10 and 20 are the usual steps).
 *
 * Computed from the CIE's tables by ASTM E2022: each wavelength of the fine sum is interpolated from the spectrum's own
 * wavelengths by Lagrange's polynomials (third degree, second in the first and last interval), and what multiplies each
 * value is gathered. The sum runs over 360..780 nm at 1 nm. Weights of wavelengths that the spectrum lacks are added to its first and
 * last one (E308, 'folding'). For an 'uncorrected' spectrum the pass band is taken out within the weights.
 *
 * @throws RangeError when no colour can be computed from such a spectrum.
 */
export function tristimulusWeights(
  illuminant: Illuminant,
  observer: Observer,
  start: number,
  step: number,
  count: number,
  bandpass: Bandpass = 'corrected',
): TristimulusWeights {
  const key = `${illuminant}/${observer} ${start} ${step} ${count} ${bandpass}`;
  const known = cache.get(key);
  if (known) return known;
  demandUsable(start, step, count);
  const full = gather(illuminant, observer, start, step);
  const values = fold(full, start, step, count);
  if (bandpass === 'uncorrected') removeBandpass(values, count);
  const weights = { start, step, count, values, white: full.white };
  cache.set(key, weights);
  return weights;
}

function demandUsable(start: number, step: number, count: number): void {
  const end = start + step * (count - 1);
  if (!Number.isInteger(start) || !Number.isInteger(step) || !Number.isInteger(count))
    throw new RangeError('Wavelengths of a spectrum are whole nanometres at equal steps.');
  if (step < 1 || step > LARGEST_STEP)
    throw new RangeError(`A step of ${step} nm gives no reliable colour: use 5, 10 or 20 nm.`);
  if (start > LATEST_START || end < EARLIEST_END)
    throw new RangeError(
      `A spectrum of ${start}..${end} nm lacks too much of the visible range: it should reach from 400 to 700 nm.`,
    );
}

interface FullWeights {
  readonly start: number;
  readonly values: Float64Array;
  readonly white: XYZ;
}

/** Weights on the spectrum's grid continued over all of 360..780 nm. */
function gather(illuminant: Illuminant, observer: Observer, start: number, step: number): FullWeights {
  const first = FIRST_NM + ((((start - FIRST_NM) % step) + step) % step);
  const nodes = Math.floor((LAST_NM - first) / step) + 1;
  const matching = colourMatching(observer);
  const values = new Float64Array(3 * nodes);
  const white = [0, 0, 0] as [number, number, number];
  const powers = relativePowers(illuminant);
  const share = new Float64Array(4);
  for (let nm = FIRST_NM; nm <= LAST_NM; nm++) {
    const power = powers[nm - FIRST_NM]!;
    const i = nm - matching.start;
    const x = power * matching.x[i]!;
    const y = power * matching.y[i]!;
    const z = power * matching.z[i]!;
    white[0] += x;
    white[1] += y;
    white[2] += z;
    const base = lagrangeShares((nm - first) / step, nodes, share);
    for (let k = 0; k < 4; k++) {
      const part = share[k]!;
      if (part === 0) continue;
      values[3 * (base + k)]! += part * x;
      values[3 * (base + k) + 1]! += part * y;
      values[3 * (base + k) + 2]! += part * z;
    }
  }
  const scale = 100 / white[1];
  for (let i = 0; i < values.length; i++) values[i]! *= scale;
  return { start: first, values, white: [white[0] * scale, 100, white[2] * scale] };
}

function fold(full: FullWeights, start: number, step: number, count: number): Float64Array {
  const values = new Float64Array(3 * count);
  for (let i = 0; i < full.values.length; i += 3) {
    const place = (full.start - start) / step + i / 3;
    const to = 3 * Math.min(Math.max(place, 0), count - 1);
    for (let c = 0; c < 3; c++) values[to + c]! += full.values[i + c]!;
  }
  return values;
}

/**
 * Takes a triangular pass band as wide as the step out of the spectrum, within the weights: each value less 0.083 of the
 * difference to each neighbour (E. I. Stearns and R. E. Stearns, Color Res. Appl. 13, 257, 1988). The white point stays.
 */
function removeBandpass(values: Float64Array, count: number): void {
  const part = 0.083;
  const plain = values.slice();
  for (let i = 0; i < count; i++)
    for (const neighbour of [i - 1, i + 1]) {
      if (neighbour < 0 || neighbour >= count) continue;
      for (let c = 0; c < 3; c++) {
        const moved = part * plain[3 * i + c]!;
        values[3 * i + c]! += moved;
        values[3 * neighbour + c]! -= moved;
      }
    }
}
