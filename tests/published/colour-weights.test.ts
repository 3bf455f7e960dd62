/**
 * Tristimulus weights and white points, computed here from CIE tables by ASTM E2022, against a few printed figures of ASTM E308
 * Tables 5 and 6 and the chromaticities of CIE 015.
 */
import { describe, expect, it } from 'vitest';
import type { Illuminant } from '../../server/colour/illuminants.ts';
import type { Observer } from '../../server/colour/observers.ts';
import { type Bandpass, tristimulusWeights } from '../../server/colour/weights.ts';
import { figures, table } from './table.ts';

function largestMiss(file: string, illuminant: string, bandpass: Bandpass): number {
  let largest = 0;
  for (const row of table(file)) {
    if (row.illuminant !== illuminant) continue;
    const [nm, ...printed] = figures(row, 'nm', 'wX', 'wY', 'wZ');
    const weights = tristimulusWeights(illuminant as Illuminant, row.observer as Observer, 360, 10, 43, bandpass);
    printed.forEach((figure, c) => {
      largest = Math.max(largest, Math.abs(weights.values[(3 * (nm! - 360)) / 10 + c]! - figure));
    });
  }
  expect(largest).toBeGreaterThan(0);
  return largest;
}

describe('weights for corrected spectra against ASTM E308 Table 5, both observers', () => {
  // Over the whole table the largest miss is 0.0005 for D65, 0.0007 A, 0.0008 D50 and C, 0.0015 F2; F11 0.0015 but for wZ at
  // 420 nm, 0.010 and 0.012, where the copy of Table 5 that was read contradicts its own printed white (Z sum 64.358, white
  // 64.350) and its own Table 6; that wavelength is not among the excerpt.
  it.each([
    ['D65', 0.001],
    ['A', 0.001],
    ['D50', 0.001],
    ['C', 0.001],
    ['F2', 0.002],
    ['F11', 0.002],
  ])('%s within %f', (illuminant, within) => {
    expect(largestMiss('e308-weights-excerpt.csv', illuminant, 'corrected')).toBeLessThan(within);
  });
});

describe('weights for uncorrected spectra against ASTM E308 Table 6', () => {
  it.each([
    ['F2', 0.002],
    ['F11', 0.002],
  ])('%s within %f', (illuminant, within) => {
    expect(largestMiss('e308-uncorrected-weights-excerpt.csv', illuminant, 'uncorrected')).toBeLessThan(within);
  });

  // Table 6 of daylight was made another way (by the look of it from older 10 nm tables): the stated correction is near, not equal.
  it('D65 within 0.35 of weights up to 20', () => {
    const miss = largestMiss('e308-uncorrected-weights-excerpt.csv', 'D65', 'uncorrected');
    expect(miss).toBeLessThan(0.35);
    expect(miss).toBeLessThan(largestMiss('e308-uncorrected-weights-excerpt.csv', 'D65', 'corrected'));
  });
});

describe('white points', () => {
  it.each(table('white-points.csv').map((row) => [`${row.illuminant}/${row.observer}`, row] as const))(
    '%s as printed with ASTM E308, and as CIE 015 has its chromaticity',
    (_, row) => {
      const [X, Y, Z, x, y] = figures(row, 'X', 'Y', 'Z', 'x', 'y');
      const { white, values } = tristimulusWeights(row.illuminant as Illuminant, row.observer as Observer, 400, 10, 31);
      [X, Y, Z].forEach((printed, c) => {
        expect(Math.abs(white[c]! - printed!)).toBeLessThan(0.0015);
      });
      const sum = white[0] + white[1] + white[2];
      // F11/10 lies 0.00013 off in y, as the white printed with E308 does itself; F2 and F7 up to 0.0001, all others within 0.00005.
      const rounding = row.illuminant!.startsWith('F') ? 1.5e-4 : 5e-5;
      expect(Math.abs(white[0] / sum - x!)).toBeLessThan(rounding);
      expect(Math.abs(white[1] / sum - y!)).toBeLessThan(rounding);
      for (let c = 0; c < 3; c++) {
        let total = 0;
        for (let i = c; i < values.length; i += 3) total += values[i]!;
        expect(total).toBeCloseTo(white[c]!, 9);
      }
    },
  );
});

describe('the LED lamps', () => {
  // CIE 015:2018, chromaticities of its LED illuminants for the 2 degree observer, to four places; written down from memory.
  it.each([
    ['LED-B1', 0.456, 0.4078],
    ['LED-B2', 0.4357, 0.4012],
    ['LED-B3', 0.3756, 0.3723],
    ['LED-B4', 0.3422, 0.3502],
    ['LED-B5', 0.3118, 0.3236],
    ['LED-BH1', 0.4474, 0.4066],
    ['LED-RGB1', 0.4557, 0.4211],
    ['LED-V1', 0.4548, 0.4044],
    ['LED-V2', 0.3781, 0.3775],
  ] as const)('%s has its published chromaticity', (lamp, x, y) => {
    const { white } = tristimulusWeights(lamp, '2', 400, 10, 31);
    const sum = white[0] + white[1] + white[2];
    expect(Math.abs(white[0] / sum - x)).toBeLessThan(6e-5);
    expect(Math.abs(white[1] / sum - y)).toBeLessThan(6e-5);
  });
});
