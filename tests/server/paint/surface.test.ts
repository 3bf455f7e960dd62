import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { opaqueReflectance } from '../../../server/paint/kubelka-munk.ts';
import {
  belowSurface,
  belowSurfaceSlope,
  internalReflectance,
  type Surface,
  surfaceSlope,
  throughSurface,
} from '../../../server/paint/surface.ts';

const surfaces = fc.record({
  k1: fc.double({ min: 0, max: 0.08, noNaN: true }),
  k2: fc.double({ min: 0, max: 0.7, noNaN: true }),
  specular: fc.constantFrom('included' as const, 'excluded' as const),
  directional: fc.double({ min: 0.3, max: 2, noNaN: true }),
  firstTurn: fc.double({ min: 0, max: 0.9, noNaN: true }),
});
const reflectances = fc.double({ min: 0, max: 1, noNaN: true });

describe('the surface of a film', () => {
  // The fractions are Saunderson's formula (1942) in hundredths, worked by hand.
  it.each([
    [0, 0.04, 0],
    [0.3, 0.04 + (0.96 * 0.4 * 0.3) / 0.82, (0.96 * 0.4 * 0.3) / 0.82],
    [0.6, 0.4, 0.36],
    [1, 1, 0.96],
  ])('internal %f reads %f with the specular reflection and %f without', (internal, included, excluded) => {
    const constants = { k1: 0.04, k2: 0.6 };
    expect(throughSurface({ ...constants, specular: 'included' }, internal)).toBeCloseTo(included, 12);
    expect(throughSurface({ ...constants, specular: 'excluded' }, internal)).toBeCloseTo(excluded, 12);
  });

  // g = 1/2 of a film that sends back a third: (1 - 1/4)/(1 + 1/4)^2, by hand.
  it('makes strong colours darker where light turns back late, and leaves white and black as they are', () => {
    const late: Surface = { k1: 0, k2: 0, specular: 'excluded', directional: 0.5 };
    expect(throughSurface(late, 1 / 3)).toBeCloseTo(0.48, 12);
    // and half of the first turn lacking takes 1/2 of g^4 = 1/16 off
    expect(throughSurface({ ...late, firstTurn: 0.5 }, 1 / 3)).toBeCloseTo(0.48 * (31 / 32), 12);
    expect(throughSurface(late, 0)).toBe(0);
    expect(throughSurface(late, 1)).toBe(1);
  });

  it('lets a strong colour read darker than its tint makes two fluxes expect', () => {
    const plain: Surface = { k1: 0, k2: 0, specular: 'excluded' };
    const late: Surface = { ...plain, directional: 0.5 };
    const both = (theta: number): [number, number] => [
      throughSurface(plain, opaqueReflectance(theta)),
      // a quarter of the scattering: what makes the tints alike
      throughSurface(late, opaqueReflectance(4 * theta)),
    ];
    const [tint, lateTint] = both(0.0001);
    expect((1 - lateTint) / (1 - tint)).toBeCloseTo(1, 1);
    const [deep, lateDeep] = both(10);
    expect(lateDeep / deep).toBeLessThan(0.6);
  });

  it('is undone exactly', () => {
    fc.assert(
      fc.property(surfaces, reflectances, (surface, internal) => {
        expect(belowSurface(surface, throughSurface(surface, internal))).toBeCloseTo(internal, 9);
      }),
    );
  });

  it('has the slope of a small difference', () => {
    fc.assert(
      fc.property(surfaces, fc.double({ min: 0.01, max: 0.98, noNaN: true }), (surface, internal) => {
        const h = 1e-6;
        const difference = (throughSurface(surface, internal + h) - throughSurface(surface, internal - h)) / (2 * h);
        expect(surfaceSlope(surface, internal) / difference).toBeCloseTo(1, 5);
        const measured = throughSurface(surface, internal);
        expect(belowSurfaceSlope(surface, measured) * surfaceSlope(surface, internal)).toBeCloseTo(1, 6);
      }),
    );
  });

  it('keeps noise in a dark reading from becoming a negative reflectance', () => {
    const surface: Surface = { k1: 0.04, k2: 0.6, specular: 'included' };
    expect(belowSurface(surface, 0.039)).toBeLessThan(0);
    expect(internalReflectance(surface, 0.039)).toBeGreaterThan(0);
  });
});
