/** Coats of an effect colour until films over a black and over a white undercoat look alike, at the angle where they differ most. */
import { deltaE00 } from '../colour/ciede2000.ts';
import type { Lab } from '../colour/lab.ts';
import { labsOfAngles } from './effect-colour.ts';
import { type EffectCoats, undercoatInside } from './effect-hiding.ts';
import { effectReflectance } from './effect-model.ts';
import { BLACK, settles, WHITE } from './hiding.ts';
import { luminanceOfLightness } from './munsell.ts';

/** Infinity when 60 coats do not do. */
export function effectCoatsOverAny(paint: EffectCoats, tolerance: number): number {
  const { count } = paint.model.bands;
  const [black, white] = [BLACK, WHITE].map((lightness) =>
    new Float64Array(count).fill(undercoatInside(luminanceOfLightness(lightness) / 100)),
  );
  const labs = (coats: number, undercoat: Float64Array): Lab[] =>
    labsOfAngles(
      effectReflectance(paint.model, { ...paint.film, thickness: coats * paint.coat, undercoat }),
      paint.weights,
    );
  const apart = (coats: number): number => {
    const over = labs(coats, white!);
    return Math.max(...labs(coats, black!).map((lab, a) => deltaE00(lab, over[a]!)));
  };
  return settles(apart, tolerance, COARSE);
}

/** A film of flakes takes longer to work out; to a fifth of itself is near enough for what is then searched for between two. */
const COARSE = 1.2;
