import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { ILLUMINANTS } from '../../../server/colour/illuminants.ts';
import {
  labOfLch,
  labOfSpectrum,
  labOfXyz,
  labsOfSpectra,
  lchOfLab,
  weightsFor,
  xyzOfLab,
  xyzOfSpectrum,
} from '../../../server/colour/lab.ts';
import { OBSERVERS } from '../../../server/colour/observers.ts';

const grid = (start: number, step: number, value: (nm: number) => number, end = 700) => ({
  start,
  step,
  values: Float64Array.from({ length: (end - start) / step + 1 }, (_, i) => value(start + i * step)),
});

describe('Lab of a spectrum', () => {
  it.each(ILLUMINANTS)(
    'is 100 0 0 for the perfect diffuser under %s, at any step and either observer',
    (illuminant) => {
      for (const observer of OBSERVERS)
        for (const [start, step, end] of [
          [400, 10, 700],
          [380, 5, 780],
          [400, 20, 700],
          [360, 10, 740],
          [390, 20, 710],
        ] as const)
          for (const bandpass of ['corrected', 'uncorrected'] as const) {
            const [L, a, b] = labOfSpectrum(
              grid(start, step, () => 1, end),
              illuminant,
              observer,
              bandpass,
            );
            expect(L).toBeCloseTo(100, 9);
            expect(a).toBeCloseTo(0, 9);
            expect(b).toBeCloseTo(0, 9);
          }
    },
  );

  it('is not clamped above the perfect diffuser', () => {
    expect(
      labOfSpectrum(
        grid(400, 10, () => 3),
        'D65',
        '10',
      )[0],
    ).toBeCloseTo(116 * Math.cbrt(3) - 16, 9);
  });

  it('stays nearly the same at 5, 10 and 20 nm, because the weights interpolate', () => {
    const paint = (nm: number) => 0.05 + 0.6 / (1 + Math.exp((590 - nm) / 18));
    const fine = labOfSpectrum(grid(380, 5, paint, 780), 'D65', '10');
    for (const [step, within] of [
      [10, 0.05],
      [20, 0.3],
    ] as const) {
      const lab = labOfSpectrum(grid(380, step, paint, 780), 'D65', '10');
      expect(Math.hypot(...lab.map((v, i) => v - fine[i]!))).toBeLessThan(within);
    }
  });

  it('refuses a spectrum that lacks most of the visible range, saying which', () => {
    expect(() =>
      labOfSpectrum(
        grid(500, 10, () => 1),
        'D65',
        '10',
      ),
    ).toThrow(/500\.\.700 nm/);
    expect(() =>
      labOfSpectrum(
        grid(400, 50, () => 1),
        'D65',
        '10',
      ),
    ).toThrow(/step of 50 nm/);
  });

  it('comes out of the batch loop as it does singly', () => {
    const spectra = [0, 1, 2, 3].map((k) => grid(400, 10, (nm) => 0.02 + 0.3 * (1 + Math.sin(nm / 40 + k))));
    const weights = weightsFor(spectra[0]!, 'A', '2');
    const out = new Float64Array(12);
    labsOfSpectra(Float64Array.from(spectra.flatMap((s) => [...s.values])), weights, out);
    spectra.forEach((s, i) => {
      labOfSpectrum(s, 'A', '2').forEach((v, c) => {
        expect(out[3 * i + c]).toBeCloseTo(v, 10);
      });
    });
    expect(xyzOfSpectrum(spectra[1]!, 'A', '2')[1]).toBeGreaterThan(0);
  });
});

describe('Lab', () => {
  const lab = fc.tuple(
    fc.double({ min: 0, max: 160, noNaN: true }),
    fc.double({ min: -120, max: 120, noNaN: true }),
    fc.double({ min: -120, max: 120, noNaN: true }),
  );
  const white = [94.811, 100, 107.304] as const;

  it('goes to XYZ and back', () => {
    fc.assert(
      fc.property(lab, (x) => {
        labOfXyz(xyzOfLab(x, white), white).forEach((v, i) => {
          expect(v).toBeCloseTo(x[i]!, 8);
        });
      }),
    );
  });

  it('goes to LCh and back, the hue from 0 up to 360', () => {
    fc.assert(
      fc.property(lab, (x) => {
        const lch = lchOfLab(x);
        expect(lch[2]).toBeGreaterThanOrEqual(0);
        expect(lch[2]).toBeLessThan(360);
        labOfLch(lch).forEach((v, i) => {
          expect(v).toBeCloseTo(x[i]!, 8);
        });
      }),
    );
    expect(lchOfLab([50, 0, 0])).toEqual([50, 0, 0]);
  });
});
