import { describe, expect, it } from 'vitest';
import { concentrations, mixtureOptics } from '../../../server/paint/mixture.ts';

describe('concentrations', () => {
  it('of liquid parts are shares of the weight', () => {
    const shares = concentrations(
      [
        { toner: 0, parts: 41.2 },
        { toner: 1, parts: 58.8 },
      ],
      'liquid',
    );
    expect(shares[0]!.share).toBeCloseTo(0.412, 12);
    expect(shares[1]!.share).toBeCloseTo(0.588, 12);
  });

  it('of solids count what stays in the film', () => {
    const shares = concentrations(
      [
        { toner: 0, parts: 10, solids: 0.3 },
        { toner: 1, parts: 10, solids: 0.1 },
      ],
      'solids',
    );
    expect(shares[0]!.share).toBeCloseTo(0.75, 12);
    expect(() => concentrations([{ toner: 0, parts: 1 }], 'solids')).toThrow('solids content');
  });

  it('scale with the strength of a lot, not with its weight', () => {
    const shares = concentrations(
      [
        { toner: 0, parts: 50, strength: 0.97 },
        { toner: 1, parts: 50 },
      ],
      'liquid',
    );
    expect(shares.map(({ share }) => share)).toEqual([0.485, 0.5]);
  });

  it('refuse nothing and less than nothing', () => {
    expect(() => concentrations([{ toner: 0, parts: 0 }], 'liquid')).toThrow('at least one toner');
    expect(() => concentrations([{ toner: 0, parts: -1 }], 'liquid')).toThrow('0 or more');
    expect(() => concentrations([{ toner: 0, parts: Number.NaN }], 'liquid')).toThrow('0 or more');
  });
});

it('K and S add in proportion', () => {
  const toner = (code: string, k: number, s: number) => ({
    code,
    kind: 'opaque' as const,
    K: Float64Array.of(k),
    S: Float64Array.of(s),
  });
  const { K, S } = mixtureOptics(
    [toner('a', 2, 1), toner('b', 4, 0.5)],
    [
      { toner: 0, share: 0.75 },
      { toner: 1, share: 0.25 },
    ],
  );
  expect(K[0]).toBeCloseTo(2.5, 12);
  expect(S[0]).toBeCloseTo(0.875, 12);
});
