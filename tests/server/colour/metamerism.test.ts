import { describe, expect, it } from 'vitest';
import { difference } from '../../../server/colour/difference.ts';
import { labOfSpectrum } from '../../../server/colour/lab.ts';
import { metamerismIndex } from '../../../server/colour/metamerism.ts';
import type { Spectrum } from '../../../server/colour/spectrum.ts';
import { tristimulusWeights } from '../../../server/colour/weights.ts';

const D65 = { illuminant: 'D65', observer: '10' } as const;
const curve = (value: (nm: number) => number): Spectrum => ({
  start: 400,
  step: 10,
  values: Float64Array.from({ length: 31 }, (_, i) => value(400 + 10 * i)),
});
const standard = curve((nm) => 0.3 + 0.1 * Math.sin(nm / 50));

/** Adds a wave to a spectrum that D65/10 does not see: what its three weight columns project is taken out of it. */
function metamer(of: Spectrum, size: number): Spectrum {
  const { values: w } = tristimulusWeights('D65', '10', 400, 10, 31);
  const columns = [0, 1, 2].map((c) => Array.from({ length: 31 }, (_, i) => w[3 * i + c]!));
  const basis: number[][] = [];
  const dot = (p: number[], q: number[]) => p.reduce((sum, v, i) => sum + v * q[i]!, 0);
  const reduce = (v: number[]) =>
    basis.reduce((rest, b) => {
      const d = dot(rest, b);
      return rest.map((x, i) => x - d * b[i]!);
    }, v);
  for (const column of columns) {
    const rest = reduce(reduce(column));
    const length = Math.sqrt(dot(rest, rest));
    basis.push(rest.map((x) => x / length));
  }
  const wave = reduce(reduce(Array.from({ length: 31 }, (_, i) => Math.cos(i / 2))));
  return { ...of, values: of.values.map((r, i) => r + size * wave[i]!) };
}

describe('the special index of metamerism, change of illuminant', () => {
  it('is nothing for a thing and itself, and for a thing under the reference light', () => {
    const index = metamerismIndex(standard, standard, D65, 'A');
    expect(index.multiplicative!.dE76).toBeCloseTo(0, 9);
    expect(index.additive.dE76).toBeCloseTo(0, 9);
    expect(metamerismIndex(standard, metamer(standard, 0.1), D65, 'D65').multiplicative!.dE00).toBeCloseTo(0, 8);
  });

  it('is the plain difference under the test light when the pair matches exactly under the reference', () => {
    const sample = metamer(standard, 0.1);
    expect(difference('dE76', labOfSpectrum(standard, 'D65', '10'), labOfSpectrum(sample, 'D65', '10'))).toBeLessThan(
      1e-8,
    );
    const plain = difference('dE76', labOfSpectrum(standard, 'A', '10'), labOfSpectrum(sample, 'A', '10'));
    const index = metamerismIndex(standard, sample, D65, 'A');
    expect(plain).toBeGreaterThan(1);
    expect(index.multiplicative!.dE76).toBeCloseTo(plain, 6);
    expect(index.additive.dE76).toBeCloseTo(plain, 6);
  });

  it('does not count a difference of strength alone, by factors', () => {
    const stronger = { ...standard, values: standard.values.map((r) => 0.9 * r) };
    expect(metamerismIndex(standard, stronger, D65, 'F11').multiplicative!.dE76).toBeCloseTo(0, 8);
    expect(metamerismIndex(standard, stronger, D65, 'F11').additive.dE76).toBeLessThan(0.2);
  });

  it('has no factors from a black', () => {
    const index = metamerismIndex(
      standard,
      curve(() => 0),
      D65,
      'A',
    );
    expect(index.multiplicative).toBeUndefined();
    expect(Number.isFinite(index.additive.dE76)).toBe(true);
  });
});
