/** A film over black, white and grey, worked by hand from the two-flux equations (Kubelka 1948) in double precision: K/S 0.1, S X 2. */
import { describe, expect, it } from 'vitest';
import { filmReflectance, opaqueReflectance, scatteringPower } from '../../server/paint/kubelka-munk.ts';
import { lightnessOfLuminance, luminanceOfValue } from '../../server/paint/munsell.ts';

const WHITE = 0.8;
const film = (ratio: number, power: number, ground: number) => filmReflectance(ratio, 1, power, ground);

describe('a film of K/S 0.1', () => {
  it('is opaque at 0.641742; at S X 2 it is 0.577121 over black and 0.671347 over a white of 0.80', () => {
    expect(opaqueReflectance(0.1)).toBeCloseTo(0.641742, 6);
    expect(film(0.1, 2, 0)).toBeCloseTo(0.577121, 6);
    expect(film(0.1, 2, WHITE)).toBeCloseTo(0.671347, 6);
    expect(film(0.1, 2, 0) / film(0.1, 2, WHITE)).toBeCloseTo(0.859647, 6);
  });

  it('gives a = 1.1000 and S X = 2.0000 back from the two readings', () => {
    const [black, white] = [0.577121, 0.671347];
    const a = (white + (black - white + WHITE) / (black * WHITE)) / 2;
    expect(a).toBeCloseTo(1.1, 4);
    expect(scatteringPower(black, a - Math.sqrt(a * a - 1))).toBeCloseTo(2, 4);
  });

  it.each([
    [1, [-10.29, -3.44, -1.29, -0.5]],
    [5, [-7.81, -2.72, -1.03, -0.41]],
    [7, [-4.2, -1.56, -0.6, -0.24]],
  ])('over N%i falls short of its own L* by %j after S X 1 to 4', (value, short) => {
    const lightness = (reflectance: number) => lightnessOfLuminance(100 * reflectance);
    const ground = luminanceOfValue(value) / 100;
    const found = short.map((_, n) => lightness(film(0.1, n + 1, ground)) - lightness(opaqueReflectance(0.1)));
    expect(found.map((one) => Number(one.toFixed(2)))).toEqual(short);
  });
});

/** The contrast ratio at which ISO 6504-1 and ASTM D2805 call a paint hiding. */
it.each([
  [0.1, 4.1344],
  [0.5, 2.0963],
  [2, 0.9763],
])('K/S %f hides at 0.98 with S X %f', (ratio, power) => {
  const contrast = (x: number) => film(ratio, x, 0) / film(ratio, x, WHITE);
  expect(contrast(power - 1e-4)).toBeLessThan(0.98);
  expect(contrast(power + 1e-4)).toBeGreaterThan(0.98);
});
