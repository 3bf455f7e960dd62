import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  filmReflectance,
  filmSlopes,
  filmTransmittance,
  opaqueReflectance,
  opaqueSlope,
  scatteringPower,
} from '../../../server/paint/kubelka-munk.ts';

const positive = fc.double({ min: 1e-4, max: 5, noNaN: true });
const thickness = fc.double({ min: 1e-3, max: 5, noNaN: true });
const under = fc.double({ min: 0, max: 0.99, noNaN: true });

describe('films', () => {
  it('of no thickness show the undercoat, thick ones the opaque paint', () => {
    fc.assert(
      fc.property(positive, positive, under, (k, s, background) => {
        expect(filmReflectance(k, s, 0, background)).toBeCloseTo(background, 12);
        expect(filmReflectance(k, s, Number.POSITIVE_INFINITY, background)).toBe(opaqueReflectance(k / s));
        expect(filmReflectance(k, s, 1e6, background)).toBeCloseTo(opaqueReflectance(k / s), 9);
      }),
    );
  });

  it('laid one on the other are one film', () => {
    fc.assert(
      fc.property(positive, positive, thickness, thickness, under, (k, s, x, y, background) => {
        const first = filmReflectance(k, s, x, background);
        expect(filmReflectance(k, s, y, first)).toBeCloseTo(filmReflectance(k, s, x + y, background), 9);
      }),
    );
  });

  it('without absorption lose no light', () => {
    fc.assert(
      fc.property(positive, thickness, (s, x) => {
        expect(filmReflectance(0, s, x, 0) + filmTransmittance(0, s, x)).toBeCloseTo(1, 10);
        expect(filmReflectance(0, s, x, 0)).toBeCloseTo((s * x) / (1 + s * x), 10);
      }),
    );
  });

  it('without scattering only darken', () => {
    fc.assert(
      fc.property(positive, thickness, under, (k, x, background) => {
        expect(filmReflectance(k, 0, x, background)).toBeCloseTo(background * Math.exp(-2 * k * x), 10);
        expect(filmTransmittance(k, 0, x)).toBeCloseTo(Math.exp(-k * x), 10);
      }),
    );
  });

  it('never overflow or leave 0 to 1', () => {
    const any = fc.double({ min: 0, max: 1e8, noNaN: true });
    fc.assert(
      fc.property(any, any, any, under, (k, s, x, background) => {
        const r = filmReflectance(k, s, x, background);
        expect(r).toBeGreaterThanOrEqual(-1e-9);
        expect(r).toBeLessThanOrEqual(1 + 1e-9);
        expect(filmTransmittance(k, s, x)).toBeGreaterThanOrEqual(0);
      }),
    );
  });

  it('have the slopes of small differences', () => {
    fc.assert(
      fc.property(positive, positive, fc.double({ min: 0.05, max: 3, noNaN: true }), under, (k, s, x, background) => {
        const { reflectance, byK, byS, byThickness } = filmSlopes(k, s, x, background);
        expect(reflectance).toBeCloseTo(filmReflectance(k, s, x, background), 12);
        const slope = (f: (h: number) => number, h: number): number => (f(h) - f(-h)) / (2 * h);
        const h = 1e-5;
        expect(byK).toBeCloseTo(
          slope((d) => filmReflectance(k + d, s, x, background), Math.min(h, k / 10)),
          4,
        );
        expect(byS).toBeCloseTo(
          slope((d) => filmReflectance(k, s + d, x, background), Math.min(h, s / 10)),
          4,
        );
        expect(byThickness).toBeCloseTo(
          slope((d) => filmReflectance(k, s, x + d, background), h),
          4,
        );
      }),
    );
  });

  it('tell their scattering power over black', () => {
    const internal = opaqueReflectance(0.2);
    const overBlack = filmReflectance(0.2 * 1.5, 1.5, 0.8, 0);
    expect(scatteringPower(overBlack, internal)).toBeCloseTo(1.2, 10);
    expect(() => scatteringPower(internal, internal)).toThrow('darker');
  });

  it('when opaque have the slope of a small difference', () => {
    for (const theta of [1e-3, 0.1, 1, 20]) {
      const h = theta * 1e-5;
      const difference = (opaqueReflectance(theta + h) - opaqueReflectance(theta - h)) / (2 * h);
      expect(opaqueSlope(theta) / difference).toBeCloseTo(1, 6);
    }
  });
});
