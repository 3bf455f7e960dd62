import fc from 'fast-check';
import { expect, test } from 'vitest';
import { convert, format, quantity, toBase } from '../../../server/exact/quantity.ts';
import { rational } from '../../../server/exact/rational.ts';
import { unit, unitsOf } from '../../../server/exact/units.ts';

const decimals = fc
  .tuple(fc.bigInt({ min: 1n, max: 10n ** 9n }), fc.integer({ min: 0, max: 6 }))
  .map(([digits, places]) => rational(`${digits}/${10n ** BigInt(places)}`));

test('grams to millilitres and back is the identity', () => {
  const masses = fc.constantFrom(...unitsOf('mass'));
  const volumes = fc.constantFrom(...unitsOf('volume'));
  fc.assert(
    fc.property(decimals, decimals, masses, volumes, (value, density, mass, volume) => {
      const start = { value, unit: mass };
      const back = convert(convert(start, volume, density), mass, density);
      expect(back.value.equals(value)).toBe(true);
    }),
  );
});

test('81.6 g at 1.02 g/ml is 80 ml', () => {
  expect(format(convert(quantity(rational('81.6'), 'g'), unit('ml')!, rational('1.02')), 1)).toBe('80.0 ml');
});

test('refuses what has no meaning', () => {
  const tenGrams = quantity(rational(10), 'g');
  expect(() => convert(tenGrams, unit('um')!)).toThrow('g cannot be said in um');
  expect(() => convert(tenGrams, unit('ml')!)).toThrow('density');
  expect(() => convert(tenGrams, unit('ml')!, rational(0))).toThrow('above zero');
  expect(() => convert(quantity(rational(1), 'EUR/l'), unit('USD/l')!)).toThrow(RangeError);
  expect(() => convert(quantity(rational(1), 'dE00'), unit('dE76')!)).toThrow(RangeError);
  expect(() => quantity(rational(1), 'oz')).toThrow(RangeError);
});

test('base values', () => {
  expect(toBase(quantity(rational('38.50'), 'EUR/l')).equals(rational('0.0385'))).toBe(true);
  expect(toBase(quantity(rational('31.0'), '%')).equals(rational('0.31'))).toBe(true);
  expect(toBase(quantity(rational(3), 'days')).equals(259200)).toBe(true);
});
