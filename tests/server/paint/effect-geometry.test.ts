import { describe, expect, it } from 'vitest';
import {
  effectGeometry,
  effectGeometryNamed,
  fresnelTransmittance,
  internalDiffuseReflectance,
} from '../../../server/paint/effect-geometry.ts';

const degrees = (radians: number): number => (radians * 180) / Math.PI;

describe('constants of a measuring angle', () => {
  // by hand from Snell's and Fresnel's laws, n = 1.5, light at 45 degrees: tilt, incidence, path, mirror and diffuse gain, half aperture
  it.each([
    [-15, 3.569, 31.69, 2.3586, 0.4193, 0.3845, 0.817],
    [15, 4.327, 23.8, 2.1946, 0.3822, 0.4046, 1.225],
    [25, 7.473, 20.65, 2.1609, 0.3705, 0.4051, 1.287],
    [45, 14.063, 14.06, 2.1339, 0.3609, 0.4052, 1.333],
    [75, 23.798, 4.33, 2.1946, 0.3822, 0.4046, 1.225],
    [110, 32.649, 4.52, 2.3889, 0.4149, 0.3712, 0.7072],
  ])('45as%d', (aspecular, tilt, incidence, path, mirrorGain, diffuseGain, halfAperture) => {
    const geometry = effectGeometry(aspecular);
    expect(degrees(geometry.tilt)).toBeCloseTo(tilt, 2);
    expect(degrees(geometry.incidence)).toBeCloseTo(incidence, 1);
    expect(geometry.path).toBeCloseTo(path, 3);
    expect(geometry.mirrorGain).toBeCloseTo(mirrorGain, 3);
    expect(geometry.diffuseGain).toBeCloseTo(diffuseGain, 3);
    expect(degrees(geometry.halfAperture)).toBeCloseTo(halfAperture, 2);
  });

  it('knows other angles, 45/0 as 45as45, and refuses the gloss and the back of the panel', () => {
    expect(effectGeometryNamed('45as60')?.aspecular).toBe(60);
    expect(effectGeometryNamed('45/0')?.tilt).toBe(effectGeometry(45).tilt);
    expect(effectGeometryNamed('45/0')?.name).toBe('45/0');
    for (const name of ['45as0', '45as5', '45as-60', '45as170', 'd/8', '15as15', '45as']) {
      expect(effectGeometryNamed(name)).toBeUndefined();
    }
    expect(() => effectGeometry(3)).toThrow(/gloss/);
    expect(() => effectGeometry(140)).toThrow(/front/);
    expect(() => effectGeometry(Number.NaN)).toThrow(RangeError);
  });

  it('scatters straight back least, since pigment scatters forwards', () => {
    expect(effectGeometry(45).scatterLobe).toBeCloseTo(1, 12);
    expect(effectGeometry(110).scatterLobe).toBeLessThan(1);
    expect(effectGeometry(-15).scatterLobe).toBeGreaterThan(effectGeometry(15).scatterLobe);
  });
});

describe('surface', () => {
  it('lets 96 % through straight on at n = 1.5, and nothing changes at n = 1', () => {
    expect(fresnelTransmittance(0, 1.5)).toBeCloseTo(0.96, 12);
    expect(fresnelTransmittance(1, 1)).toBeCloseTo(1, 12);
    expect(internalDiffuseReflectance(1)).toBeCloseTo(0, 12);
  });

  it('throws back 0.596 of diffuse light inside n = 1.5 (Duntley 1942; Saunderson 1942 rounds to 0.6)', () => {
    expect(internalDiffuseReflectance(1.5)).toBeCloseTo(0.5963, 4);
  });
});
