import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  decimal,
  nearestWhole,
  percentDecimal,
  placesOf,
  productDecimal,
  rational,
  roundToStep,
  stepsDecimal,
} from '../../../server/exact/rational.ts';

describe('rational', () => {
  test('reads a decimal as it is written', () => {
    expect(rational('41.20').toFraction()).toBe('206/5');
    expect(rational(0.1).toFraction()).toBe('1/10');
    expect(rational(-1.5e-9).toFraction()).toBe('-3/2000000000');
    expect(rational(1.5e21).toFraction()).toBe('1500000000000000000000');
    expect(rational('1/3').add(rational('2/3')).equals(1)).toBe(true);
    expect(rational(12n).equals(12)).toBe(true);
  });

  test.each(['', '.5', '5.', '1e3', '41,20', '1 000', '1.(3)', '1/0', 'NaN', '\u22121'])('refuses %j', (text) => {
    expect(() => rational(text)).toThrow(RangeError);
  });

  test.each([Number.NaN, Number.POSITIVE_INFINITY])('refuses %s', (value) => {
    expect(() => rational(value)).toThrow(RangeError);
  });

  test('reads a double as the decimal that prints for it', () => {
    fc.assert(
      fc.property(fc.double({ noNaN: true, min: -1e15, max: 1e25 }), (value) => {
        fc.pre(Math.abs(value) > 1e-9);
        expect(Number(decimal(rational(value), 30))).toBe(value);
      }),
    );
  });
});

describe('decimal', () => {
  test.each([
    ['2/3', 2, '0.67'],
    ['0.05', 1, '0.1'],
    ['-0.05', 1, '-0.1'],
    ['0.049', 1, '0.0'],
    ['-0.049', 1, '0.0'],
    ['80', 1, '80.0'],
    ['999.95', 1, '1000.0'],
    ['2.5', 0, '3'],
  ])('%s to %i places is %s', (value, places, expected) => {
    expect(decimal(rational(value), places)).toBe(expected);
  });

  test('ties to even when asked', () => {
    expect(decimal(rational('0.25'), 1, 'to even')).toBe('0.2');
    expect(decimal(rational('0.35'), 1, 'to even')).toBe('0.4');
  });

  test('is what toFixed gives wherever a double holds the value exactly', () => {
    fc.assert(
      fc.property(fc.integer({ min: -1_000_000, max: 1_000_000 }), (eighths) => {
        // An eighth is exact in binary, so toFixed has no representation error; it too takes ties away from zero.
        const printed = (eighths / 8).toFixed(2);
        expect(decimal(rational(`${eighths}/8`), 2)).toBe(printed === '-0.00' ? '0.00' : printed);
      }),
    );
  });
});

test('rounding to a step is never off by more than half of it', () => {
  const ratio = fc.tuple(fc.bigInt({ min: -(10n ** 12n), max: 10n ** 12n }), fc.bigInt({ min: 1n, max: 10n ** 6n }));
  fc.assert(
    fc.property(ratio, fc.constantFrom('0.01', '0.05', '0.1', '0.5', '1', '5'), ([n, d], step) => {
      const value = rational(`${n}/${d}`);
      const rounded = roundToStep(value, rational(step));
      expect(rounded.div(rational(step)).d).toBe(1n);
      expect(rounded.sub(value).abs().mul(2).lte(rational(step))).toBe(true);
    }),
  );
});

test('nearest whole number takes ties away from zero', () => {
  expect(nearestWhole(rational('-2.5'))).toBe(-3n);
  expect(nearestWhole(rational('2.5'), 'to even')).toBe(2n);
});

test('the places of a step', () => {
  expect(['0.1', '0.05', '0.01', '1', '5', '0.5'].map((step) => placesOf(rational(step)))).toEqual([1, 2, 2, 0, 0, 1]);
});

describe('decimals of what is not worked out as a fraction first', () => {
  const number = fc
    .tuple(fc.integer({ min: -100_000, max: 100_000 }), fc.integer({ min: 1, max: 5000 }))
    .map(([n, d]) => rational(`${n}/${d}`));
  const places = fc.nat({ max: 8 });

  test('a product', () => {
    fc.assert(
      fc.property(number, number, places, (a, b, digits) => {
        expect(productDecimal(a, b, digits)).toBe(decimal(a.mul(b), digits));
      }),
    );
  });

  test('a share in per cent', () => {
    fc.assert(
      fc.property(number, number, places, (part, whole, digits) => {
        fc.pre(whole.gt(0));
        expect(percentDecimal(part, whole, digits)).toBe(decimal(part.mul(100).div(whole), digits));
      }),
    );
  });

  test('steps of a scale, also of one that no decimal writes in full', () => {
    fc.assert(
      fc.property(
        fc.bigInt({ min: -10_000n, max: 10_000n }),
        fc.constantFrom('0.1', '0.05', '0.02', '1', '5', '1/3', '28.349523125'),
        (steps, step) => {
          expect(stepsDecimal(steps, rational(step))).toBe(
            decimal(rational(step).mul(steps), placesOf(rational(step))),
          );
        },
      ),
    );
  });
});
