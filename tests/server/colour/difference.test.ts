import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  components,
  difference,
  difference2000,
  differenceCMC,
  isMetric,
  METRICS,
  metricSource,
  metricTitle,
} from '../../../server/colour/difference.ts';
import type { Lab } from '../../../server/colour/lab.ts';

const axis = fc.double({ min: -120, max: 120, noNaN: true });
const lab = fc.tuple(fc.double({ min: 0, max: 150, noNaN: true }), axis, axis);

describe.each(METRICS)('%s', (metric) => {
  it('is 0 for a colour and itself, never negative, never a NaN', () => {
    fc.assert(
      fc.property(lab, lab, (p, q) => {
        expect(difference(metric, p, p)).toBeCloseTo(0, 9);
        expect(difference(metric, p, q)).toBeGreaterThanOrEqual(0);
      }),
    );
  });

  it('is no NaN for colours that differ in their last binary digits', () => {
    fc.assert(
      fc.property(lab, fc.double({ min: -4e-16, max: 4e-16, noNaN: true }), (p, nudge) => {
        expect(difference(metric, p, [p[0], p[1] * (1 + nudge), p[2] * (1 - nudge)])).toBeLessThan(1e-6);
      }),
    );
  });

  it('has a title and a source', () => {
    expect(isMetric(metric)).toBe(true);
    expect(metricTitle(metric)).toMatch(/^ΔE/);
    expect(metricSource(metric)).toMatch(/CIE|ISO|DIN/);
  });
});

describe('the standard and the sample', () => {
  const standard: Lab = [50, 40, 10];
  const sample: Lab = [50, 60, 10];
  it('are not the same thing to CIE94 and CMC, and are to CIEDE2000', () => {
    expect(difference('dE94', standard, sample)).toBeGreaterThan(difference('dE94', sample, standard) + 0.1);
    expect(difference('dEcmc', standard, sample)).toBeGreaterThan(difference('dEcmc', sample, standard) + 0.1);
    expect(difference('dE00', standard, sample)).toBeCloseTo(difference('dE00', sample, standard), 12);
  });

  it('give parametric factors their place', () => {
    const lighter: Lab = [54, 40, 10];
    expect(difference2000(2, 1, 1, standard, lighter)).toBeCloseTo(difference('dE00kL2', standard, lighter), 12);
    expect(difference2000(2, 1, 1, standard, lighter)).toBeCloseTo(difference('dE00', standard, lighter) / 2, 12);
    expect(differenceCMC(2, 1, standard, lighter)).toBeCloseTo(differenceCMC(1, 1, standard, lighter) / 2, 12);
  });

  it('have components that say sample less standard and make up the whole', () => {
    fc.assert(
      fc.property(lab, lab, (p, q) => {
        const { dL, da, db, dC, dH } = components(p, q);
        expect(dL).toBeCloseTo(q[0] - p[0], 9);
        expect(dC * dC + dH * dH).toBeCloseTo(da * da + db * db, 5);
      }),
    );
    expect(components([50, 10, 0], [50, 0, 10]).dH).toBeGreaterThan(0);
    expect(components([50, 0, 10], [50, 10, 0]).dH).toBeLessThan(0);
  });
});

it('a name that is no metric is not taken for one', () => {
  expect(isMetric('toString')).toBe(false);
  expect(isMetric('dE2000')).toBe(false);
});
