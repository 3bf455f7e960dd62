import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { coatedReflectance, type EffectLayer } from '../../../server/paint/effect-coats.ts';
import { lightnessLike } from '../../../server/paint/effect-fit.ts';
import { effectGeometry } from '../../../server/paint/effect-geometry.ts';
import { type EffectToner, effectReflectance } from '../../../server/paint/effect-model.ts';
import type { Flakes, Layer } from '../../simulator/film.ts';
import { simulate } from '../../simulator/simulate.ts';

const bands = { start: 400, step: 100, count: 4 };
const geometries = [15, 25, 45, 75, 110].map(effectGeometry);
const model = { bands, geometries, backscatter: 0.17 };
const degree = Math.PI / 180;
const level = (value: number): Float64Array => new Float64Array(bands.count).fill(value);

const flake: EffectToner = {
  kind: 'flake',
  flakes: 9,
  tilt: 6 * degree,
  strays: 0.05,
  edge: 0.06,
  reflectance: level(0.87),
};
const pigment = (K: readonly number[], S: number): EffectToner => ({
  kind: 'pigment',
  absorption: Float64Array.from(K),
  scattering: level(S),
  disorder: 0,
});
const clear = pigment([0, 0, 0, 0], 0);
const white = pigment([3, 0.4, 0.4, 0.4], 60);
const red = pigment([30, 25, 1, 0.5], 0.2);
const pearl: EffectToner = {
  kind: 'pearl',
  tilt: 5 * degree,
  strays: 0.03,
  edge: 0.4,
  plateIndex: 2,
  mirror: Float64Array.of(2, 2.5, 2.2, 2),
};

const layer = (parts: readonly (readonly [EffectToner, number])[], thickness: number): EffectLayer => ({
  toners: parts.map(([toner]) => toner),
  shares: parts.map(([, share]) => share),
  thickness,
});
const undercoat = Float64Array.of(0.2, 0.3, 0.4, 0.5);
const over = (top: EffectLayer, ...below: EffectLayer[]): Float64Array =>
  coatedReflectance(model, { ...top, undercoat, below });
const alone = (one: EffectLayer): Float64Array => effectReflectance(model, { ...one, undercoat });

function expectAlike(a: Float64Array, b: Float64Array, within: number): void {
  a.forEach((value, at) => {
    expect(Math.abs(value / b[at]! - 1)).toBeLessThan(within);
  });
}

describe('coats over each other', () => {
  it.each([
    ['a white', layer([[white, 0.5]], 1)],
    ['an aluminium', layer([[flake, 0.4]], 1)],
    [
      'an aluminium with red',
      layer(
        [
          [flake, 0.3],
          [red, 0.2],
        ],
        0.7,
      ),
    ],
    ['a thin pearl', layer([[pearl, 0.4]], 0.5)],
  ])('%s under clear binder looks as alone', (_, ground) => {
    expectAlike(over(layer([[clear, 1]], 1), ground), alone(ground), 1e-6);
  });

  it.each([
    ['a white', layer([[white, 0.5]], 0.1)],
    ['a red', layer([[red, 0.2]], 0.4)],
  ])('%s in two coats is the same film in one', (_, one) => {
    const half = { ...one, thickness: one.thickness / 2 };
    expectAlike(over(half, half), alone(one), 1e-4);
    expectAlike(
      over({ ...half, thickness: half.thickness / 2 }, half, { ...half, thickness: half.thickness / 2 }),
      alone(one),
      1e-4,
    );
  });

  it('flakes in two coats send nearly what they send from one film', () => {
    const one = layer(
      [
        [flake, 0.3],
        [red, 0.05],
      ],
      1,
    );
    // light that met three mirrors of two coats is spread by their mean, not by the sum over all
    expectAlike(over({ ...one, thickness: 0.4 }, { ...one, thickness: 0.6 }), alone(one), 0.04);
  });

  it('is a finite number, 0 or more, for any coats', () => {
    const share = fc.double({ min: 0, max: 0.5, noNaN: true });
    const coat = fc.record({
      flake: share,
      pearl: share,
      white: share,
      red: share,
      thickness: fc.double({ min: 0, max: 30, noNaN: true }),
    });
    fc.assert(
      fc.property(fc.array(coat, { minLength: 2, maxLength: 3 }), (coats) => {
        const [top, ...below] = coats.map((one) =>
          layer(
            [
              [flake, one.flake],
              [pearl, one.pearl],
              [white, one.white],
              [red, one.red],
            ],
            one.thickness,
          ),
        );
        for (const value of over(top!, ...below)) if (!(value >= 0 && Number.isFinite(value))) return false;
        return true;
      }),
      { numRuns: 60 },
    );
  });

  it('nothing comes through a coat that hides', () => {
    const top = layer([[white, 0.5]], 20);
    expectAlike(over(top, layer([[flake, 0.4]], 1)), alone(top), 1e-6);
  });
});

describe('against rays counted one by one', () => {
  const sample = (
    absorption: readonly number[],
    scattering: number,
    thickness: number,
    flakes: Flakes[] = [],
  ): Layer => ({
    thickness,
    absorption: Float64Array.from(absorption),
    scattering,
    asymmetry: 0.5,
    flakes,
  });
  const silver = {
    rate: 3.5,
    edge: 0.05,
    sigma: 6,
    tail: 0.05,
    tailSigma: 16,
    mirror: { reflectance: level(0.88) },
  } satisfies Flakes;
  const silverToner: EffectToner = {
    kind: 'flake',
    flakes: 3.5,
    tilt: 6 * degree,
    strays: 0.05,
    edge: 0.05,
    reflectance: level(0.88),
  };
  const haze = pigment([0.3, 0.3, 0.3, 0.3], 0.5);
  const ground = sample([0.3, 0.3, 0.3, 0.3], 0.5, 1, [silver]);
  const groundLayer = layer(
    [
      [silverToner, 1],
      [haze, 1],
    ],
    1,
  );
  const names = ['45as15', '45as25', '45as45', '45as75', '45as110'] as const;

  /** Errors of predictions on the scale of lightness, per angle and band. */
  function errorsOf(layers: readonly Layer[], predicted: Float64Array, rays = 60_000): number[][] {
    const { reflectance } = simulate(
      { index: 1.5, layers: [...layers], undercoat },
      { rays, seed: 7, geometries: names },
    );
    return names.map((name, a) =>
      Array.from(
        reflectance[name],
        (value, i) => lightnessLike(predicted[a * bands.count + i]!) - lightnessLike(value),
      ),
    );
  }

  const printed = (errors: readonly number[][]) =>
    errors.map((row) => row.map((one) => one.toFixed(1)).join(' ')).join(' | ');

  /** L* that the coats may be off beyond what the ground alone is; set when the figures (up to 2.1) were known. */
  const further = 2.5;

  it.each([
    ['red', [4, 2, 0.4, 0.1], 0.1],
    ['deep red', [12, 8, 0.8, 0.1], 0.1],
    ['hazy blue', [0.2, 0.5, 3, 5], 0.5],
  ] as const)('a %s over a silver ground is hardly further off than the silver alone', (_, K, S) => {
    const bare = errorsOf([ground], alone(groundLayer));
    const coated = errorsOf([sample(K, S, 0.5), ground], over(layer([[pigment(K, S), 1]], 0.5), groundLayer));
    console.log(`silver alone ${printed(bare)}; under the coat ${printed(coated)}`);
    coated.forEach((row, a) => {
      row.forEach((error, i) => {
        expect(Math.abs(error), `${names[a]} band ${i}`).toBeLessThan(Math.abs(bare[a]![i]!) + further);
      });
    });
  });
});
