/**
 * Colour differences against published pairs.
 * Sources: Sharma, Wu, Dalal 2005, Table 1 (CIEDE2000); the other formulas on the same pairs as four open libraries agree
 * (see the data files' heads); three far pairs from the test suite of colour-science.
 */
import { describe, expect, it } from 'vitest';
import { deltaE00 } from '../../server/colour/ciede2000.ts';
import { components, difference, METRICS } from '../../server/colour/difference.ts';
import type { Lab } from '../../server/colour/lab.ts';
import { figures, table } from './table.ts';

const pairs = table('ciede2000-pairs.csv').map((row) => ({
  pair: row.pair!,
  standard: figures(row, 'L1', 'a1', 'b1') as unknown as Lab,
  sample: figures(row, 'L2', 'a2', 'b2') as unknown as Lab,
  dE00: Number(row.dE00),
}));

describe('CIEDE2000 of the 34 pairs of Sharma, Wu and Dalal 2005', () => {
  it('has all of them', () => {
    expect(pairs).toHaveLength(34);
  });

  it.each(pairs)(
    'pair $pair is $dE00 to the printed digit, singly and in the loop, either way round',
    ({ standard, sample, dE00 }) => {
      for (const figure of [
        difference('dE00', standard, sample),
        deltaE00(standard, sample),
        deltaE00(sample, standard),
      ])
        expect(Math.abs(figure - dE00)).toBeLessThan(0.5e-4 + 1e-9);
    },
  );
});

describe('the other formulas on the same pairs, first colour the standard', () => {
  const agreed = table('differences-on-ciede2000-pairs.csv');

  it.each(METRICS)('%s is what four libraries agree on', (metric) => {
    const within = metric === 'din99o' ? 1e-4 : 1e-6;
    pairs.forEach(({ standard, sample }, i) => {
      expect(Math.abs(difference(metric, standard, sample) - Number(agreed[i]![metric]))).toBeLessThan(within);
    });
  });

  it('reproduces three pairs far apart', () => {
    for (const row of table('differences-far-apart.csv')) {
      const standard = figures(row, 'L1', 'a1', 'b1') as unknown as Lab;
      const sample = figures(row, 'L2', 'a2', 'b2') as unknown as Lab;
      for (const metric of ['dE94', 'dE94t', 'dE00', 'dEcmc'] as const)
        expect(difference(metric, standard, sample)).toBeCloseTo(Number(row[metric]), 5);
    }
  });
});

it('a red ceramic tile moves by 1.007 per 10 degrees (Malkin and others, J. Soc. Dyers Colour. 113, 1997)', () => {
  const standard: Lab = [40, 40, 20];
  const sample: Lab = [40 - 0.37, 40 - 0.71, 20 - 0.61];
  expect(difference('dE76', standard, sample)).toBeCloseTo(1.007, 3);
  const { dL, da, db, dC, dH } = components(standard, sample);
  expect([dL, da, db].map((v) => Number(v.toFixed(9)))).toEqual([-0.37, -0.71, -0.61]);
  expect(dC * dC + dH * dH).toBeCloseTo(da * da + db * db, 9);
});
