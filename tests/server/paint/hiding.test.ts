import { describe, expect, it } from 'vitest';
import {
  bestGrey,
  type CoatedPaint,
  coatsReading,
  coatsToHide,
  contrastRatio,
  costOfGrey,
  greyReflectance,
  opaqueReading,
} from '../../../server/paint/hiding.ts';
import { deltaE00, labUnder } from '../../../server/paint/light.ts';
import { mixtureOptics } from '../../../server/paint/mixture.ts';
import { lightnessOfValue } from '../../../server/paint/munsell.ts';
import { type GreyStep, greyLightness, greyMixture } from '../../../server/paint/undercoat.ts';
import { acrylics, components, count, lights, surface } from '../../published/acrylics-data.ts';

const main = lights[0]!;
function paint(parts: Record<string, number>, thickness = 8): CoatedPaint {
  const { K, S } = mixtureOptics(acrylics, components(parts));
  return { coat: { K: K.map((k) => k * thickness), S: S.map((s) => s * thickness) }, surface, light: main };
}
const red = paint({ QuinacridoneRed: 0.4, TitaniumWhite: 0.005, clear: 0.595 });
const white = paint({ TitaniumWhite: 1 });

describe('coats to hide', () => {
  it('are enough from there on, and not a little before', () => {
    const opaque = labUnder(main, opaqueReading(red));
    for (const lightness of [20, 50, 74.5, 80, 95]) {
      const under = greyReflectance(lightness, count);
      const off = (coats: number): number => deltaE00(opaque, labUnder(main, coatsReading(red, coats, under)));
      const coats = coatsToHide(red, under, 1);
      for (let more = 1; more < 4; more += 0.05) expect(off(coats * more)).toBeLessThanOrEqual(1 + 1e-6);
      expect(off(coats * 0.99)).toBeGreaterThan(1);
    }
  });

  it('count the last crossing, not the first', () => {
    // Over a light grey this orange comes near, moves away again as its blue end darkens, and only then hides.
    const orange = paint({ PyrroleOrange: 0.3, clear: 0.7 });
    const under = greyReflectance(84, count);
    const opaque = labUnder(main, opaqueReading(orange));
    const coats = coatsToHide(orange, under, 1.7);
    let earlier = 0;
    for (let n = 0.05; n < coats * 0.95; n += 0.02) {
      if (deltaE00(opaque, labUnder(main, coatsReading(orange, n, under))) <= 1.7) earlier++;
    }
    expect(earlier).toBeGreaterThan(0);
  });

  it('say that a clear never hides', () => {
    const under = greyReflectance(50, count);
    expect(coatsToHide(paint({ clear: 1 }), under, 1)).toBe(Number.POSITIVE_INFINITY);
    expect(bestGrey(paint({ clear: 0.999, QuinacridoneRed: 0.001 }, 0.01), 1)).toBeUndefined();
  });

  it('are none over an undercoat of the very colour', () => {
    expect(coatsToHide(red, opaqueReading(red), 1)).toBe(0);
  });
});

describe('the best grey', () => {
  it('of a transparent red is far lighter than the red', () => {
    const best = bestGrey(red, 1)!;
    expect(labUnder(main, opaqueReading(red))[0]).toBeLessThan(40);
    expect(best.lightness).toBeGreaterThan(70);
    expect(lightnessOfValue(best.value)).toBeCloseTo(best.lightness, 6);
    const dark = coatsToHide(red, greyReflectance(20, count), 1);
    expect(costOfGrey(dark, best).factor).toBeGreaterThan(3);
  });

  it('of a white lies at the end of the scale, and says so', () => {
    expect(bestGrey(white, 1)!.atEnd).toBe(true);
  });
});

describe('the contrast ratio', () => {
  it('rises to 1 for a white and is not told for a dark paint', () => {
    expect(contrastRatio(white, 0.3)!).toBeLessThan(contrastRatio(white, 1)!);
    expect(contrastRatio(white, 30)!).toBeGreaterThan(0.999);
    expect(contrastRatio(red, 1)).toBeUndefined();
  });
});

describe('an undercoat of any grey', () => {
  // Two-flux greys from a white and a black end, read after spraying: the truth is known.
  const reading = (dark: number): number => {
    const mixed = paint({ TitaniumWhite: 1 - dark, BoneBlack: dark });
    return labUnder(main, opaqueReading(mixed))[0];
  };
  const step = (dark: number): GreyStep => ({ dark, lightness: reading(dark) });
  const measured = [0, 0.02, 0.1, 0.4, 1].map(step);

  it('is what was measured at a measured step', () => {
    for (const { dark, lightness } of measured) {
      const mixture = greyMixture(measured, lightness, surface);
      expect(mixture.dark).toBeCloseTo(dark, 12);
      expect(mixture.basis).toBe('measured');
    }
  });

  it('between steps comes out as sprayed, within half an L*', () => {
    for (const lightness of [90, 80, 70, 60, 50, 40, 33]) {
      const { dark, light, basis } = greyMixture(measured, lightness, surface);
      expect(light + dark).toBeCloseTo(1, 12);
      expect(basis).toBe('interpolated');
      expect(Math.abs(reading(dark) - lightness)).toBeLessThan(0.5);
      expect(greyLightness(measured, dark, surface)).toBeCloseTo(lightness, 6);
    }
  });

  it('is not linear in mass', () => {
    const { dark } = greyMixture(measured, 80, surface);
    const linear = (reading(0) - 80) / (reading(0) - reading(1));
    expect(dark).toBeLessThan(linear / 1.5);
  });

  it('rests on a guess when only the ends are known, and says so', () => {
    expect(greyMixture([step(0), step(1)], 60, surface).basis).toBe('assumed');
  });

  it('explains what is missing', () => {
    expect(() => greyMixture([step(0), step(0.5)], 60, surface)).toThrow('both its ends');
    expect(() => greyMixture(measured, 10, surface)).toThrow('not L* 10.0');
    const wrong = [step(0), { dark: 0.5, lightness: 99 }, step(1)];
    expect(() => greyMixture(wrong, 60, surface)).toThrow('must be darker');
  });
});
