import { differenceCiede2000 } from 'culori';
import { describe, expect, it } from 'vitest';
import { type Found, LabIndex, type SearchOptions } from '../../../server/colour/search.ts';
import { stream } from './random-lab.ts';

const culori = differenceCiede2000();

function library(count: number, angles: number, seed: number): Float64Array {
  const next = stream(seed);
  const labs = new Float64Array(count * angles * 3);
  for (let i = 0; i < count; i++) {
    const base = [20 + 60 * next(), 100 * next() - 50, 100 * next() - 50];
    for (let k = 0; k < angles; k++)
      for (let c = 0; c < 3; c++) labs[(i * angles + k) * 3 + c] = base[c]! * (1.4 - (0.8 * k) / angles) + 4 * next();
  }
  return labs;
}

function bruteForce(
  labs: Float64Array,
  angles: number,
  query: Float64Array,
  count: number,
  options: SearchOptions = {},
): Found[] {
  const colour = (from: Float64Array, at: number) => ({
    mode: 'lab65' as const,
    l: from[at]!,
    a: from[at + 1]!,
    b: from[at + 2]!,
  });
  const all: Found[] = [];
  for (let index = 0; index < labs.length / 3 / angles; index++) {
    if (options.accept && !options.accept(index)) continue;
    const each = Array.from({ length: angles }, (_, k) =>
      culori(colour(query, 3 * k), colour(labs, (index * angles + k) * 3)),
    );
    const difference = options.over === 'worst' ? Math.max(...each) : each.reduce((s, d) => s + d, 0) / angles;
    if (difference <= (options.within ?? Number.POSITIVE_INFINITY)) all.push({ index, difference });
  }
  return all.sort((p, q) => p.difference - q.difference || p.index - q.index).slice(0, count);
}

const same = (found: Found[], expected: Found[]) => {
  expect(found.map((f) => f.index)).toEqual(expected.map((f) => f.index));
  found.forEach((f, i) => {
    expect(f.difference).toBeCloseTo(expected[i]!.difference, 9);
  });
};

describe('the nearest readings', () => {
  const angles = 5;
  const labs = library(3000, angles, 1);
  const index = new LabIndex(labs, angles);
  const queries = library(12, angles, 2);
  const query = (i: number) => queries.slice(i * angles * 3, (i + 1) * angles * 3);

  it.each<[string, SearchOptions]>([
    ['by the mean', {}],
    ['by the worst angle', { over: 'worst' }],
    ['among those that pass', { accept: (i) => i % 7 === 3 }],
    ['within a distance', { within: 6 }],
    [
      'within a distance by the worst angle, among those that pass',
      { over: 'worst', within: 9, accept: (i) => i % 2 === 0 },
    ],
  ])('are those of brute force with culori, %s', (_, options) => {
    for (let i = 0; i < 12; i++)
      same(index.nearest(query(i), 20, options), bruteForce(labs, angles, query(i), 20, options));
  });

  it('are found far outside the library too', () => {
    const far = Float64Array.from({ length: 15 }, (_, i) => [148, 110, -110][i % 3]!);
    same(index.nearest(far, 5), bruteForce(labs, angles, far, 5));
  });

  it('include a reading itself, first and at 0; of equal readings the earlier comes first', () => {
    const twice = new Float64Array([...labs.subarray(0, 3000), ...labs.subarray(0, 3000)]);
    const found = new LabIndex(twice, angles).nearest(labs.slice(15 * 40, 15 * 41), 2);
    expect(found).toEqual([
      { index: 40, difference: 0 },
      { index: 240, difference: 0 },
    ]);
  });

  it('are all there are, when fewer than asked', () => {
    const few = new LabIndex(labs.slice(0, 15 * 3), angles);
    expect(few.nearest(query(0), 20)).toHaveLength(3);
    expect(few.nearest(query(0), 0)).toEqual([]);
    expect(new LabIndex(new Float64Array(0), angles).nearest(query(0), 20)).toEqual([]);
  });

  it('survive a library of one colour a thousand times', () => {
    const alike = new LabIndex(new Float64Array(3000).fill(40), 1);
    expect(alike.nearest(new Float64Array([40, 40, 40]), 3).map((f) => f.index)).toEqual([0, 1, 2]);
  });

  it('refuse unlike angles and values that are no numbers', () => {
    expect(() => index.nearest(new Float64Array(9), 3)).toThrow(/3 angles/);
    expect(() => new LabIndex(new Float64Array([1, Number.NaN, 3]), 1)).toThrow(/not a number/);
    expect(() => new LabIndex(new Float64Array(4), 1)).toThrow(/angles/);
  });
});
