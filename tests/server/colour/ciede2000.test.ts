import { differenceCiede2000 } from 'culori';
import { describe, expect, it } from 'vitest';
import {
  ciede2000,
  ciede2000Batch,
  ciede2000Bound,
  ciede2000BoxBound,
  deltaE00,
} from '../../../server/colour/ciede2000.ts';
import { chroma, type Lab } from '../../../server/colour/lab.ts';
import { randomPair, stream } from './random-lab.ts';

const culori = differenceCiede2000();
const byCulori = ([l, a, b]: Lab, [L, A, B]: Lab) =>
  culori({ mode: 'lab65', l, a, b }, { mode: 'lab65', l: L, a: A, b: B });

describe('CIEDE2000 in loops', () => {
  it('agrees with culori to 1e-10 on 100,000 random pairs', () => {
    const next = stream(20261125);
    let worst = 0;
    for (let i = 0; i < 100_000; i++) {
      const [p, q] = randomPair(next, i % 2 === 0);
      worst = Math.max(worst, Math.abs(deltaE00(p, q) - byCulori(p, q)));
    }
    expect(worst).toBeLessThan(1e-10);
  });

  it('agrees with culori on neutrals, on opposite hues and about the hue of 0, where the rotation ends', () => {
    const colours: Lab[] = [
      [50, 0, 0],
      [50, 2.5, 0],
      [50, -2.5, 0],
      [50, 0, 2.5],
      [50, 0, -2.5],
      [73, 25, -18],
      [50, 3, -1e-3],
      [50, 3, 4e-3],
      [60, 40, -0.5],
      [60, 42, 0.4],
      [0, 0, 0],
      [100, 1e-9, 0],
      [20, 1e-14, -1e-14],
    ];
    for (const p of colours)
      for (const q of colours) expect(Math.abs(deltaE00(p, q) - byCulori(p, q))).toBeLessThan(1e-10);
  });

  it('takes no rotation from a mean hue just past 0, as the standard measures it to 275 without going round', () => {
    const below = deltaE00([50, 80, -0.2], [50, 70, -3]);
    expect(below).toBeCloseTo(byCulori([50, 80, -0.2], [50, 70, -3]), 10);
    expect(deltaE00([50, 80, 0.2], [50, 70, 3])).toBeCloseTo(byCulori([50, 80, 0.2], [50, 70, 3]), 10);
  });

  it('is never a NaN, and 0 for equal colours', () => {
    const next = stream(5);
    for (let i = 0; i < 20_000; i++) {
      const [p] = randomPair(next, true);
      expect(deltaE00(p, p)).toBe(0);
      const q: Lab = [p[0], p[1] * (1 + 2e-16), p[2] * (1 - 2e-16)];
      expect(deltaE00(p, q)).toBeLessThan(1e-9);
    }
  });

  it('goes through a batch as singly', () => {
    const next = stream(9);
    const samples = Float64Array.from({ length: 300 }, (_, i) => (i % 3 === 0 ? 100 * next() : 100 * next() - 50));
    const out = new Float64Array(100);
    ciede2000Batch([50, 10, -20], samples, out);
    out.forEach((d, i) => {
      expect(d).toBe(deltaE00([50, 10, -20], [samples[3 * i]!, samples[3 * i + 1]!, samples[3 * i + 2]!]));
    });
  });
});

describe('the lower bound', () => {
  it('is never above the difference of a pair, and near enough to be of use', () => {
    const next = stream(77);
    let tight = 0;
    let above = 0;
    for (let i = 0; i < 200_000; i++) {
      const [p, q] = randomPair(next, i % 2 === 0);
      const bound = ciede2000Bound(...p, chroma(p), ...q, chroma(q));
      const exact = ciede2000(...p, chroma(p), ...q, chroma(q));
      if (bound > exact + 1e-9) above++;
      tight += bound / exact;
    }
    expect(above).toBe(0);
    expect(tight / 200_000).toBeGreaterThan(0.5);
  });

  it('is never above the difference of a colour and any colour within a box', () => {
    const next = stream(78);
    for (let i = 0; i < 40_000; i++) {
      const [p, corner] = randomPair(next, i % 2 === 0);
      const size = [20 * next(), 30 * next(), 30 * next()];
      const box = new Float64Array(7);
      for (let c = 0; c < 3; c++) {
        box[2 * c] = corner[c]!;
        box[2 * c + 1] = corner[c]! + size[c]!;
      }
      const inside = corner.map((low, c) => low + size[c]! * next()) as unknown as Lab;
      box[6] = chroma(inside) + 5 * next();
      expect(ciede2000BoxBound(...p, chroma(p), box, 0) <= deltaE00(p, inside) + 1e-9).toBe(true);
    }
  });
});
