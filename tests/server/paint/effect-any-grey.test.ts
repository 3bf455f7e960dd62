import { expect, it } from 'vitest';
import { tristimulusWeights } from '../../../server/colour/weights.ts';
import { effectCoatsOverAny } from '../../../server/paint/effect-any-grey.ts';
import { labsOfAngles } from '../../../server/paint/effect-colour.ts';
import { effectGeometry } from '../../../server/paint/effect-geometry.ts';
import { type EffectCoats, undercoatInside } from '../../../server/paint/effect-hiding.ts';
import { type EffectToner, effectReflectance } from '../../../server/paint/effect-model.ts';
import { deltaE00 } from '../../../server/paint/light.ts';
import { luminanceOfLightness } from '../../../server/paint/munsell.ts';

const count = 31;
const flat = (value: number) => new Float64Array(count).fill(value);
const clear: EffectToner = { kind: 'pigment', absorption: flat(0), scattering: flat(0), disorder: 0 };
const blue: EffectToner = {
  kind: 'pigment',
  absorption: Float64Array.from({ length: count }, (_, i) => 0.5 + i / 3),
  scattering: flat(0.5),
  disorder: 0,
};
const flake: EffectToner = { kind: 'flake', flakes: 9, tilt: 0.1, strays: 0.07, edge: 0.06, reflectance: flat(0.88) };
const paint: EffectCoats = {
  model: { bands: { start: 400, step: 10, count }, geometries: [15, 45, 110].map(effectGeometry), backscatter: 0.18 },
  film: { toners: [clear, flake, blue], shares: [0.6, 0.15, 0.25] },
  coat: 0.3,
  weights: tristimulusWeights('D65', '10', 400, 10, count),
};

/** Largest dE00 of any angle between films over L* 25 and over L* 95. */
function apart(coats: number): number {
  const [black, white] = [25, 95].map((lightness) =>
    labsOfAngles(
      effectReflectance(paint.model, {
        ...paint.film,
        thickness: coats * paint.coat,
        undercoat: flat(undercoatInside(luminanceOfLightness(lightness) / 100)),
      }),
      paint.weights,
    ),
  );
  return Math.max(...black!.map((lab, a) => deltaE00(lab, white![a]!)));
}

it('counts the coats from which on black and white below look alike at every angle', () => {
  const coats = effectCoatsOverAny(paint, 1);
  expect(apart(coats)).toBeLessThanOrEqual(1 + 1e-6);
  expect(apart(coats * 0.98)).toBeGreaterThan(1);
  for (const more of [1.2, 2, 5]) expect(apart(coats * more)).toBeLessThan(1);
  expect(effectCoatsOverAny({ ...paint, coat: 0.15 }, 1)).toBeCloseTo(2 * coats, 1);
  expect(effectCoatsOverAny(paint, 0.3)).toBeGreaterThan(coats);
});

it('never ends for a clear coat', () => {
  expect(effectCoatsOverAny({ ...paint, film: { toners: [clear], shares: [1] } }, 1)).toBe(Number.POSITIVE_INFINITY);
});
