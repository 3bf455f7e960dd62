/** Repeatability (MCDM), flop index, and angles of goniospectrophotometry, against figures worked outside the program. */
import { describe, expect, it } from 'vitest';
import { detectorAngle, parseGeometry } from '../../server/colour/geometry.ts';
import type { Lab } from '../../server/colour/lab.ts';
import { flopIndex, repeatability } from '../../server/colour/repeat.ts';

// Definition: Billmeyer and Alessi 1981, ASTM E2214. The figures were worked with culori and by hand.
it('three takes of one panel: MCDM 0.04072 dE*ab and 0.02795 dE00, largest 0.05991 and 0.04101', () => {
  const takes: Lab[] = [
    [61.92, -18.4, 9.81],
    [61.88, -18.36, 9.77],
    [61.95, -18.41, 9.84],
  ];
  const { mean, mcdm, largest, outlier } = repeatability(takes);
  expect(mean.map((v) => Number(v.toFixed(5)))).toEqual([61.91667, -18.39, 9.80667]);
  expect(mcdm.dE76).toBeCloseTo(0.04072, 5);
  expect(mcdm.dE00).toBeCloseTo(0.02795, 5);
  expect(largest.dE76).toBeCloseTo(0.05991, 5);
  expect(largest.dE00).toBeCloseTo(0.04101, 5);
  expect(outlier).toBeUndefined();
});

// D. H. Alman 1987; constants from memory, range 0 for solid colours and 15 to 17 for strong metallics confirmed in public texts.
it.each([
  [110, 65, 35, 8.9529],
  [130, 55, 20, 15.812],
  [60, 60, 60, 0],
])('flop index of L* %f, %f, %f is %f', (L15, L45, L110, index) => {
  expect(flopIndex(L15, L45, L110)).toBeCloseTo(index, 4);
});

describe('detector angles of 45° illumination (ASTM E2194 and E2539 give both notations)', () => {
  it.each([
    ['45as-15', -60],
    ['45as15', -30],
    ['45as25', -20],
    ['45as45', 0],
    ['45as75', 30],
    ['45as110', 65],
  ])('%s is %i', (text, angle) => {
    expect(detectorAngle(parseGeometry(text))).toBe(angle);
  });
});
