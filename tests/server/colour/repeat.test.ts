import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Lab } from '../../../server/colour/lab.ts';
import { labOfSpectrum } from '../../../server/colour/lab.ts';
import {
  flopIndex,
  flopIndexOf,
  outlyingTake,
  repeatability,
  repeatabilityOfSpectra,
} from '../../../server/colour/repeat.ts';
import { meanSpectrum } from '../../../server/colour/spectrum.ts';

describe('repeat takes', () => {
  const spectrum = (level: number) => ({ start: 400, step: 10, values: new Float64Array(31).fill(level) });

  it('are averaged as spectra before any colour is computed', () => {
    const takes = [spectrum(0.02), spectrum(0.5)];
    const { mean } = repeatabilityOfSpectra(takes, { illuminant: 'D65', observer: '10' });
    expect(mean).toEqual(labOfSpectrum(meanSpectrum(takes), 'D65', '10'));
    const labs = takes.map((take) => labOfSpectrum(take, 'D65', '10'));
    expect(mean[0] - repeatability(labs).mean[0]).toBeGreaterThan(5);
  });

  it('of unlike wavelengths are refused', () => {
    expect(() => meanSpectrum([spectrum(0.1), { ...spectrum(0.1), start: 380 }])).toThrow(/wavelengths/);
    expect(() => meanSpectrum([])).toThrow();
    expect(() => repeatability([])).toThrow();
  });

  it('name the one that is out, wherever it stands', () => {
    const good: Lab[] = [
      [50, 10, 10],
      [50.1, 10, 10.1],
      [49.95, 10.1, 10],
    ];
    const bad: Lab = [53, 10, 10];
    for (let place = 0; place <= 3; place++) expect(outlyingTake(good.toSpliced(place, 0, bad))).toBe(place);
    expect(outlyingTake(good)).toBeUndefined();
    expect(repeatability([...good, bad]).outlier).toBe(3);
  });

  it("accuse nobody for the instrument's own noise, nor one of two", () => {
    expect(
      outlyingTake([
        [50, 0, 0],
        [50, 0, 0],
        [50, 0, 0],
        [50.15, 0, 0],
      ]),
    ).toBeUndefined();
    expect(
      outlyingTake([
        [50, 0, 0],
        [60, 0, 0],
      ]),
    ).toBeUndefined();
  });

  it('accuse nobody where flakes scatter evenly', () => {
    expect(
      outlyingTake([
        [80, 1, 2],
        [82, 1, 2],
        [84, 1, 2],
        [86, 1, 2],
        [88, 1, 2],
      ]),
    ).toBeUndefined();
  });

  it('scatter by nothing when alike', () => {
    fc.assert(
      fc.property(
        fc.tuple(
          fc.double({ min: 0, max: 120, noNaN: true }),
          fc.double({ min: -90, max: 90, noNaN: true }),
          fc.double({ min: -90, max: 90, noNaN: true }),
        ),
        (lab) => {
          const { mcdm, largest, outlier } = repeatability([lab, lab, lab]);
          expect(Math.max(mcdm.dE76, mcdm.dE00, largest.dE76, largest.dE00)).toBeLessThan(1e-9);
          expect(outlier).toBeUndefined();
        },
      ),
    );
  });
});

describe('the flop index', () => {
  it('has no value when the flop is lighter than the face, or the body black', () => {
    expect(flopIndex(40, 50, 60)).toBeUndefined();
    expect(flopIndex(40, 0, 20)).toBeUndefined();
    expect(flopIndex(Number.NaN, 50, 60)).toBeUndefined();
  });

  it('has no value when an angle was not read', () => {
    const colours = new Map<string, Lab>([
      ['45as15', [110, 0, 0]],
      ['45as45', [65, 0, 0]],
    ]);
    expect(flopIndexOf(colours)).toBeUndefined();
    expect(flopIndexOf(colours.set('45as110', [35, 0, 0]))).toBeCloseTo(8.9529, 4);
  });
});
