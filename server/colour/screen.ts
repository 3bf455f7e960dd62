import { clampChroma, converter, formatHex, modeLab, modeLab65, modeLch, modeLch65, modeRgb, useMode } from 'culori/fn';
import type { Illuminant } from './illuminants.ts';
import type { Lab } from './lab.ts';

for (const mode of [modeRgb, modeLab65, modeLch65, modeLab, modeLch]) useMode(mode as typeof modeRgb);

/** A colour for a swatch: screen only, never to be judged by. */
export interface ScreenColour {
  /** `#rrggbb`, sRGB. */
  readonly hex: string;
  /** The screen cannot show it: the swatch has less chroma, or is less light, than the paint. */
  readonly outOfGamut: boolean;
}

/** Half of the smallest step of an 8-bit channel: less than that outside the gamut is rounding. */
const HALF_STEP = 0.5 / 255;

const toRgb = converter('rgb');

/**
 * The sRGB colour of a Lab. D50 goes through culori's `lab`, adapted to the screen's D65; under every other light L*, a*, b* are
 * shown as they stand: a painter whose eye has settled to the lamp sees about that. Out of gamut, chroma is taken away until it
 * can be shown, hue and lightness kept.
 */
export function screenColour([l, a, b]: Lab, illuminant: Illuminant = 'D65'): ScreenColour {
  const d50 = illuminant === 'D50';
  const colour = { mode: d50 ? ('lab' as const) : ('lab65' as const), l, a, b };
  const { r, g, b: blue } = toRgb(colour);
  const outOfGamut = [r, g, blue].some((channel) => channel < -HALF_STEP || channel > 1 + HALF_STEP);
  const shown = outOfGamut ? clampChroma(colour, d50 ? 'lch' : 'lch65') : colour;
  return { hex: formatHex(shown), outOfGamut };
}
