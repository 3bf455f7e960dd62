/**
 * Two-flux optics against independently calculated mixtures, numerical integration of the two-flux equation, and cases
 * computed with numpy apart from this project.
 */
import { describe, expect, it } from 'vitest';
import {
  bestGrey,
  coatsAgainstGrey,
  coatsBlackAgainstWhite,
  coatsReading,
  coatsToHide,
  greyReflectance,
  opaqueReading,
} from '../../server/paint/hiding.ts';
import {
  absorptionOverScattering,
  filmReflectance,
  filmTransmittance,
  opaqueReflectance,
} from '../../server/paint/kubelka-munk.ts';
import { labUnder } from '../../server/paint/light.ts';
import { mixtureOptics } from '../../server/paint/mixture.ts';
import { belowSurface, type Surface, throughSurface } from '../../server/paint/surface.ts';
import { acrylics, components, count, lights, surface, wavelengths } from './acrylics-data.ts';
import cases from './data/two-flux-cases.json' with { type: 'json' };
import { figures, table } from './table.ts';

describe('the nine two-constant mixtures of Unicolour', () => {
  const throughout: Surface = { k1: 0.033, k2: 0.66, specular: 'excluded' };
  it.each(table('two-constant-mixtures.csv'))('$c1 $c2 $c3, band $band', (row) => {
    const c = figures(row, 'c1', 'c2', 'c3');
    const K = figures(row, 'K1', 'K2', 'K3');
    const S = figures(row, 'S1', 'S2', 'S3');
    const sum = (of: number[]): number => of.reduce((total, value, i) => total + value * c[i]!, 0);
    const [infinite, measured] = figures(row, 'R_infinite', 'R_measured');
    const internal = opaqueReflectance(sum(K) / sum(S));
    expect(internal).toBeCloseTo(infinite!, 13);
    expect(throughSurface(throughout, internal)).toBeCloseTo(measured!, 13);
    expect(belowSurface(throughout, measured!)).toBeCloseTo(infinite!, 12);
  });
});

/** dR/dX = S - 2 (K + S) R + S R², from the background upwards, by the classic Runge-Kutta method. */
function integrated(k: number, s: number, thickness: number, background: number): number {
  const steps = 4000;
  const h = thickness / steps;
  const slope = (r: number): number => s - 2 * (k + s) * r + s * r * r;
  let r = background;
  for (let i = 0; i < steps; i++) {
    const a = slope(r);
    const b = slope(r + (h * a) / 2);
    const c = slope(r + (h * b) / 2);
    const d = slope(r + h * c);
    r += (h * (a + 2 * b + 2 * c + d)) / 6;
  }
  return r;
}

describe('a film over a background', () => {
  const films = [
    [0.2, 1, 1, 0],
    [0.2, 1, 1, 0.8],
    [0.05, 2, 0.5, 0.8],
    [1, 0.5, 0.3, 0.5],
    [0, 1.3, 2, 0.1],
    [0.7, 0, 1.5, 0.9],
    [1e-9, 1e-9, 3, 0.4],
    [3, 1e-6, 2, 0.7],
    [0.4, 0.005, 8, 0.6],
    [2, 8, 4, 0.95],
  ] as const;
  it.each(films)('K %f S %f X %f over %f is what the two-flux equation integrates to', (k, s, x, under) => {
    expect(filmReflectance(k, s, x, under)).toBeCloseTo(integrated(k, s, x, under), 9);
  });

  it('gives the worked figures of the hyperbolic form', () => {
    expect(filmReflectance(0.2, 1, 1, 0)).toBeCloseTo(0.426887576669, 11);
    expect(filmReflectance(0.2, 1, 1, 0.8)).toBeCloseTo(0.618480868956, 11);
    expect(filmTransmittance(0.2, 1, 1)).toBeCloseTo(0.397118142507, 11);
    expect(filmTransmittance(0.05, 2, 0.5)).toBeCloseTo(0.485651470352, 11);
  });

  it('keeps its digits at large K/S', () => {
    expect(absorptionOverScattering(opaqueReflectance(10_000))).toBeCloseTo(10_000, 6);
    expect(opaqueReflectance(1e4) / 4.99950006249e-5).toBeCloseTo(1, 10);
  });
});

/** Weights here are computed from CIE tables, those of the cases printed by ASTM: that much Lab may differ. */
const labTolerance = 0.02;

function expectLab(actual: readonly number[], wanted: readonly number[]): void {
  wanted.forEach((value, i) => {
    expect(Math.abs(actual[i]! - value)).toBeLessThan(labTolerance);
  });
}

function expectReading(actual: Float64Array, wanted: Record<string, number>): void {
  for (const [nm, value] of Object.entries(wanted)) {
    expect(actual[wavelengths.indexOf(Number(nm))]).toBeCloseTo(value, 5);
  }
}

function paint(parts: Record<string, number>, thickness: number) {
  const { K, S } = mixtureOptics(acrylics, components(parts));
  const coat = { K: K.map((k) => k * thickness), S: S.map((s) => s * thickness) };
  return { coat, surface, light: lights[0]! };
}

describe('opaque mixtures of acrylics', () => {
  it.each([cases.A1, cases.A2])('case %#', ({ parts, Rm, lab }) => {
    const reading = opaqueReading(paint(parts, 1));
    expectReading(reading, Rm);
    expectLab(labUnder(lights[0]!, reading), lab.D65);
    expectLab(labUnder(lights[1]!, reading), lab.A);
    expectLab(labUnder(lights[2]!, reading), lab.F11);
  });
});

describe('films of acrylics over greys', () => {
  it.each([cases.B1, cases.B2])('case %#', (wanted) => {
    const coated = paint(wanted.parts, wanted.X_per_coat);
    for (const [name, film] of Object.entries(wanted.film)) {
      const [coats, lightness] = name.match(/\d+/g)!.map(Number);
      const reading = coatsReading(coated, coats!, greyReflectance(lightness!, count));
      expectReading(reading, film.Rm);
      expectLab(labUnder(lights[0]!, reading), film.lab_D65);
    }
    expectLab(labUnder(lights[0]!, opaqueReading(coated)), wanted.opaque_lab);
    const greys = Object.keys(wanted.coats).map(Number);
    coatsAgainstGrey(coated, wanted.tol, greys).forEach(({ coats, lightness }) => {
      expect(Math.abs(coats - wanted.coats[String(lightness) as '20'])).toBeLessThan(0.01);
    });
    const best = bestGrey(coated, wanted.tol)!;
    expect(best.lightness).toBe(wanted['best_L_step0.5']);
    expect(Math.abs(best.coats - wanted.best_coats)).toBeLessThan(0.01);
    expect(Math.abs(coatsBlackAgainstWhite(coated, wanted.tol) - wanted.black25_white95_coats)).toBeLessThan(0.01);
  });

  it.each([
    ['yellow', { HansaYellowOpaque: 0.9, TitaniumWhite: 0.1 }, [13.68, 13.59, 13.37, 12.9, 11.54, 7.68], 95, 2.31],
    ['white', { TitaniumWhite: 1 }, [5.7, 5.68, 5.63, 5.54, 5.26, 4.5], 96, 1.24],
    ['grey', { TitaniumWhite: 0.6, BoneBlack: 0.1 }, [1.09, 1.05, 0.98, 0.79, 0.37, 0.87], 78, 0.32],
  ] as const)('coats of %s at X 8', (_, parts, coats, lightness, fewest) => {
    const coated = paint(parts, 8);
    coatsAgainstGrey(coated, 1, [20, 35, 50, 65, 80, 90]).forEach((point, i) => {
      expect(Math.abs(point.coats - coats[i]!)).toBeLessThan(0.02);
    });
    const best = bestGrey(coated, 1)!;
    expect(best.lightness).toBe(lightness);
    expect(Math.abs(best.coats - fewest)).toBeLessThan(0.02);
  });

  it('coats scale with the thickness of a coat', () => {
    const parts = { PhthaloBlueGreenShade: 0.05, BoneBlack: 0.05, TitaniumWhite: 0.02, clear: 0.88 };
    const under = greyReflectance(65, count);
    const thick = coatsToHide(paint(parts, 8), under, 1);
    expect(coatsToHide(paint(parts, 4), under, 1) / thick).toBeCloseTo(2, 3);
  });
});
