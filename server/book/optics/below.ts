/** What lies below a film, as an instrument would read it. */
import { undercoatInside } from '../../paint/effect-hiding.ts';
import { luminanceOfLightness } from '../../paint/munsell.ts';
import type { Surface } from '../../paint/surface.ts';
import type { Grey } from '../entries/written.ts';
import { greyLightness } from './greys.ts';
import { GRID } from './grid.ts';
import { UNKNOWN_UNDERCOAT } from './learn.ts';

export interface Below {
  /** As the book names it: `N5`, or `formula PNK-1`. */
  readonly words: string;
  /** L* under the main light of the book. */
  readonly lightness: number;
  /** Reflectance on the grid, a grey's as whatever instrument reads it, a coloured one's at 45/0 or 45as45. */
  readonly reading: Float64Array;
  /** Id of the formula of a coloured undercoat. */
  readonly formula: string | undefined;
}

export const flatReading = (lightness: number): Float64Array =>
  new Float64Array(GRID.count).fill(luminanceOfLightness(lightness) / 100);

/** A neutral undercoat; undefined for a grey that is not on the scale. */
export function greyBelow(grey: Grey | undefined): Below | undefined {
  const lightness = greyLightness(grey);
  if (!grey || lightness === undefined) return undefined;
  return { words: grey.text, lightness, reading: flatReading(lightness), formula: undefined };
}

/** As an instrument reads it that reads a film with this surface: a sphere may take in the mirror reflection. */
export const readWith = ({ reading, formula }: Below, { specular, k1 }: Surface): Float64Array =>
  formula !== undefined && specular === 'included' ? reading.map((value) => value + k1) : reading;

/** The undercoat seen from inside an effect film on it. */
export const insideOf = (below: Below | undefined): Float64Array =>
  below ? below.reading.map(undercoatInside) : new Float64Array(GRID.count).fill(undercoatInside(UNKNOWN_UNDERCOAT));
