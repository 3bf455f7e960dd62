import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { decimal, rational } from '../../../server/exact/rational.ts';
import { cautions } from '../../../server/paint/cautions.ts';
import {
  type Component,
  flowTimeCaution,
  paintFor,
  readyToSpray,
  suitableReducers,
  useBy,
} from '../../../server/paint/ready.ts';

const clear = { code: 'CLR', grams: rational(196), density: rational('0.98') };
const hardener: Component = {
  code: 'HRD',
  role: 'hardener',
  density: rational('1.06'),
  share: rational('1/2'),
  of: 'paint',
  by: 'volume',
};
const thinner: Component = {
  code: 'THN',
  role: 'reducer',
  density: rational('0.87'),
  share: rational('0.1'),
  of: 'mix before',
  by: 'volume',
};

// Worked by hand: 200 ml and 100 ml, then 10 % of 300 ml, of 200 ml, or of the whole.
describe('2:1 by volume and 10 %', () => {
  test.each([
    ['mix before', '30.00'],
    ['paint', '20.00'],
    ['whole', '33.33'],
  ] as const)('of the %s is %s ml', (of, millilitres) => {
    const { lines } = readyToSpray(clear, [hardener, { ...thinner, of }]);
    expect(lines.map((line) => decimal(line.millilitres, 2))).toEqual(['200.00', '100.00', millilitres]);
  });

  test('by mass 2:1 by volume is 100 : 54.08', () => {
    const { lines } = readyToSpray({ ...clear, grams: rational(100) }, [hardener]);
    expect(decimal(lines[1]!.grams, 2)).toBe('54.08');
  });

  test('the running figures of one cup', () => {
    const mix = readyToSpray(clear, [hardener, thinner]);
    expect(mix.lines.map((line) => decimal(line.running, 1))).toEqual(['196.0', '302.0', '328.1']);
    expect(mix.millilitres.toString()).toBe('330');
    expect(mix.density.mul(330).equals(mix.grams)).toBe(true);
  });
});

test('by weight', () => {
  const { lines } = readyToSpray(clear, [{ ...hardener, by: 'weight' }]);
  expect(lines[1]!.grams.toString()).toBe('98');
});

test('a share that cannot be is refused', () => {
  expect(() => readyToSpray(clear, [{ ...thinner, share: rational(1), of: 'whole' }])).toThrow('THN');
  expect(() => readyToSpray(clear, [{ ...thinner, share: rational(-1) }])).toThrow(RangeError);
});

test('the paint for a ready weight makes that weight', () => {
  const of = fc.constantFrom('paint', 'mix before', 'whole');
  const by = fc.constantFrom('volume', 'weight');
  const component = fc
    .record({ of, by, percent: fc.integer({ min: 0, max: 90 }), density: fc.integer({ min: 80, max: 120 }) })
    .map(({ percent, density, ...rest }): Component => {
      return {
        code: 'X',
        role: 'reducer',
        density: rational(`${density}/100`),
        share: rational(`${percent}/100`),
        ...rest,
      } as Component;
    });
  fc.assert(
    fc.property(fc.array(component, { maxLength: 3 }), fc.integer({ min: 1, max: 2000 }), (components, grams) => {
      const paint = paintFor(rational(grams), clear.density, components);
      expect(readyToSpray({ ...clear, grams: paint }, components).grams.equals(grams)).toBe(true);
    }),
  );
});

describe('a reducer for the booth', () => {
  const range = (low: number, high: number) => [rational(low), rational(high)] as const;
  const dry = [rational('0'), rational('0.35')] as const;
  const reducers = [
    { code: 'FAST', temperature: range(10, 20) },
    { code: 'MEDIUM', temperature: range(18, 28) },
    { code: 'SLOW', temperature: range(25, 40) },
    { code: 'DRY', temperature: range(15, 35), humidity: dry },
  ];
  const codes = (temperature: number, humidity?: string) => {
    const booth = { temperature: rational(temperature), ...(humidity ? { humidity: rational(humidity) } : {}) };
    return suitableReducers(reducers, booth).map(({ code }) => code);
  };

  test('the one most squarely in its range comes first', () => {
    expect(codes(20, '0.5')).toEqual(['MEDIUM', 'FAST']);
    expect(codes(26, '0.5')).toEqual(['MEDIUM', 'SLOW']);
    expect(codes(26, '0.2')).toEqual(['DRY', 'MEDIUM', 'SLOW']);
    expect(codes(5)).toEqual([]);
  });
});

describe('flow time', () => {
  const iso = { standard: 'ISO 2431', millimetres: 4 };

  test('seconds without a cup say nothing', () => {
    expect(flowTimeCaution({ millimetres: 4 }, rational(18))).toContain('which cup');
  });

  test('ISO 2431 cups are for 30 to 100 s', () => {
    expect(flowTimeCaution(iso, rational(45))).toBeUndefined();
    expect(flowTimeCaution(iso, rational(18))).toContain('smaller hole');
    expect(flowTimeCaution(iso, rational(120))).toContain('larger hole');
    expect(flowTimeCaution({ ...iso, millimetres: 2 }, rational(45))).toContain('3, 4, 5 and 6');
  });

  test("another standard's cup is left to that standard", () => {
    expect(flowTimeCaution({ standard: 'DIN 53211', millimetres: 4 }, rational(18))).toBeUndefined();
  });
});

describe('pot life', () => {
  const mixed = Date.UTC(2026, 9, 14, 9, 0);
  const twoHours = rational(7200);

  test('runs from the time of mixing', () => {
    expect(new Date(useBy(mixed, twoHours)).toISOString()).toBe('2026-10-14T11:00:00.000Z');
  });

  test('halves for ten degrees more, and is never lengthened by cold', () => {
    expect(useBy(mixed, twoHours, rational(33)) - mixed).toBe(3_600_000);
    expect(useBy(mixed, twoHours, rational(10)) - mixed).toBe(7_200_000);
  });
});

describe('cautions', () => {
  test('isocyanate first where there is hardener, who decides last', () => {
    const ids = cautions({ hardener: true, waterborne: true, vocAsOf: '2026-11-25', predicted: true, kept: true }).map(
      ({ id }) => id,
    );
    expect(ids[0]).toBe('isocyanate');
    expect(ids.at(-1)).toBe('authority');
    expect(new Set(ids).size).toBe(9);
  });

  test('without hardener there are still ventilation, fire, waste and who decides', () => {
    const ids = cautions({ hardener: false, waterborne: false }).map(({ id }) => id);
    expect(ids).toEqual(['ventilation', 'fire', 'waste', 'authority']);
  });

  test('never says that a mask is enough, or that anything is legal', () => {
    const all = cautions({ hardener: true, waterborne: true, vocAsOf: '2026-11-25', predicted: true, kept: true });
    for (const { text } of all) expect(text).not.toMatch(/\blegal\b|mask is enough/i);
    expect(all.find(({ id }) => id === 'voc')!.text).toContain('2026-11-25');
  });
});
