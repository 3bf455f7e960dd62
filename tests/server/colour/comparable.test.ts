import { describe, expect, it } from 'vitest';
import { comparability, compareFlakes, type ReadingFacts } from '../../../server/colour/comparable.ts';

const day = 24 * 3600 * 1000;
const reading: ReadingFacts = {
  geometries: ['45as15', '45as45', '45as110'],
  surface: { cleared: true, polished: true, temperature: 21 },
  instrumentModel: 'five-angle',
  taken: 1000 * day,
};

describe('two readings', () => {
  it('alike in all that is stated are comparable at the angles that both have', () => {
    const other = { ...reading, geometries: ['45as45', '45as110', 'd/8'], taken: 1010 * day };
    expect(comparability(reading, other)).toEqual({
      comparable: true,
      common: ['45as45', '45as110'],
      reasons: [],
      unstated: [],
    });
  });

  it.each<[string, ReadingFacts, string]>([
    ['geometry', { ...reading, geometries: ['d/8'] }, 'no angle in common'],
    ['surface', { ...reading, surface: { ...reading.surface, cleared: false } }, 'cleared'],
    ['polish', { ...reading, surface: { ...reading.surface, polished: false } }, 'polished'],
    ['temperature', { ...reading, surface: { ...reading.surface, temperature: 38 } }, '21 C and 38 C'],
    ['instrument', { ...reading, instrumentModel: 'sphere' }, 'five-angle and sphere'],
    ['age', { ...reading, taken: 400 * day }, '600 days'],
  ])('unlike in %s are not, and why is said', (kind, other, text) => {
    const { comparable, reasons } = comparability(reading, other);
    expect(comparable).toBe(false);
    expect(reasons).toHaveLength(1);
    expect(reasons[0]).toMatchObject({ kind });
    expect(reasons[0]!.text).toContain(text);
  });

  it('that leave something unsaid are not accused of it', () => {
    expect(comparability(reading, { geometries: ['45as15'] })).toMatchObject({
      comparable: true,
      unstated: ['surface', 'polish', 'temperature', 'instrument', 'age'],
    });
    // Cleared is said, polished is not: only the one is unsaid.
    const half = { ...reading, surface: { cleared: true } };
    expect(comparability(half, half).unstated).toEqual(['polish', 'temperature']);
  });
});

describe('sparkle and graininess', () => {
  const model = { instrumentModel: 'five-angle' };
  it('are compared within one instrument model only', () => {
    expect(compareFlakes({ ...model, sparkle: 4, graininess: 3 }, { ...model, sparkle: 5, graininess: 2.5 })).toEqual({
      compared: true,
      sparkle: 1,
      graininess: -0.5,
    });
    const other = compareFlakes({ ...model, sparkle: 4 }, { instrumentModel: 'six-angle', sparkle: 5 });
    expect(other).toMatchObject({ compared: false });
    expect(compareFlakes({ sparkle: 4 }, { sparkle: 4 })).toMatchObject({ compared: false });
  });

  it('that are absent are said not to be compared', () => {
    expect(compareFlakes(model, { ...model, sparkle: 3 })).toEqual({
      compared: false,
      text: 'flake appearance not compared: not measured on both',
    });
  });
});
