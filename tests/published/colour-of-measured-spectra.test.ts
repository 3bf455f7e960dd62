/**
 * Lab of measured spectra against the Lab that was published with them: four real paints (D65/10), and the average of thirty
 * colour charts (D50/2); and X, Y, Z by ASTM E308 practice as another implementation has them. Sources in the heads of the data files.
 */
import { describe, expect, it } from 'vitest';
import { difference } from '../../server/colour/difference.ts';
import { type Lab, labOfSpectrum, labOfXyz, xyzOfSpectrum } from '../../server/colour/lab.ts';
import type { Spectrum } from '../../server/colour/spectrum.ts';
import { figures, table } from './table.ts';

function spectrum(row: Record<string, string>, start: number, end: number, scale: number): Spectrum {
  const columns = Array.from({ length: (end - start) / 10 + 1 }, (_, i) => String(start + 10 * i));
  return { start, step: 10, values: Float64Array.from(figures(row, ...columns), (r) => r * scale) };
}

describe('four measured paints, 400..700 nm, D65/10', () => {
  it.each(table('four-measured-paints.csv').map((row) => [row.pigment!, row] as const))(
    '%s has the printed Lab to 0.05',
    (_, row) => {
      const lab = labOfSpectrum(spectrum(row, 400, 700, 0.01), 'D65', '10');
      const printed = figures(row, 'L', 'a', 'b') as unknown as Lab;
      expect(difference('dE76', printed, lab)).toBeLessThan(0.05);
    },
  );

  it('would miss with the pass band taken out a second time: these are corrected spectra', () => {
    const misses = table('four-measured-paints.csv').map((row) =>
      difference(
        'dE76',
        figures(row, 'L', 'a', 'b') as unknown as Lab,
        labOfSpectrum(spectrum(row, 400, 700, 0.01), 'D65', '10', 'uncorrected'),
      ),
    );
    expect(Math.max(...misses)).toBeGreaterThan(0.1);
  });
});

it('24 chart patches have their published xyY for D50/2: mean within 0.06, largest within 0.16', () => {
  // White of the published figures: x 0.3457, y 0.3585, as CIE 015 has D50.
  const white = [(100 * 0.3457) / 0.3585, 100, (100 * (1 - 0.3457 - 0.3585)) / 0.3585] as const;
  const misses = table('chart-of-24-patches.csv').map((row) => {
    const [x, y, Y] = figures(row, 'x', 'y', 'Y') as [number, number, number];
    const published = labOfXyz([(100 * Y * x) / y, 100 * Y, (100 * Y * (1 - x - y)) / y], white);
    return difference('dE76', published, labOfSpectrum(spectrum(row, 380, 730, 1), 'D50', '2'));
  });
  expect(misses).toHaveLength(24);
  expect(misses.reduce((sum, miss) => sum + miss, 0) / 24).toBeLessThan(0.06);
  expect(Math.max(...misses)).toBeLessThan(0.16);
});

describe('ASTM E308 practice, A/2, ends folded or not', () => {
  const reflectance = new Map(table('e308-practice-spectrum.csv').map((row) => [Number(row.nm), Number(row.R)]));

  it.each(table('e308-practice-expected.csv').map((row) => figures(row, 'start', 'end', 'step', 'X', 'Y', 'Z')))(
    '%i..%i nm at %i nm: X %f, Y %f, Z %f to 0.0001',
    (start, end, step, ...expected) => {
      const values = Float64Array.from(
        { length: (end! - start!) / step! + 1 },
        (_, i) => reflectance.get(start! + i * step!)!,
      );
      xyzOfSpectrum({ start: start!, step: step!, values }, 'A', '2').forEach((value, c) => {
        expect(Math.abs(value - expected[c]!)).toBeLessThan(1e-4);
      });
    },
  );
});
