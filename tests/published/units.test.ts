import { describe, expect, test } from 'vitest';
import { convert, format, quantity } from '../../server/exact/quantity.ts';
import { rational } from '../../server/exact/rational.ts';
import { unit } from '../../server/exact/units.ts';

/** NIST Handbook 44 (2023), Appendix C, "General Tables of Units of Measurement"; a US government work, not under copyright. */
describe('NIST Handbook 44, Appendix C', () => {
  test.each([
    ['gal-US', 'ml', '3785.411784'],
    ['qt-US', 'ml', '946.352946'],
    ['pt-US', 'ml', '473.176473'],
    ['floz-US', 'ml', '29.5735295625'],
    ['floz-imp', 'ml', '28.4130625'],
    ['gal-imp', 'ml', '4546.09'],
    ['oz-av', 'g', '28.349523125'],
    ['lb', 'g', '453.59237'],
    ['mil', 'um', '25.4'],
    ['ft2', 'm2', '0.09290304'],
    ['lb', 'oz-av', '16'],
    ['gal-US', 'floz-US', '128'],
    ['gal-US', 'qt-US', '4'],
    ['gal-imp', 'floz-imp', '160'],
    ['gal-imp', 'qt-imp', '4'],
  ])('one %s is %s %s', (from, to, expected) => {
    expect(convert(quantity(rational(1), from), unit(to)!).value.equals(rational(expected))).toBe(true);
  });
});

/** Quotients of the definitions above, worked by hand to the digits shown. */
describe('by hand from the definitions', () => {
  test('1 lb/gal is 119.826427 g/l', () => {
    expect(format(convert(quantity(rational(1), 'lb/gal-US'), unit('g/l')!), 6)).toBe('119.826427 g/l');
  });

  test('1 g/ml is 8.345404 lb/gal', () => {
    expect(format(convert(quantity(rational(1), 'g/ml'), unit('lb/gal-US')!), 6)).toBe('8.345404 lb/gal-US');
  });

  test('a fluid ounce of water is no ounce: 1.04 oz at 0.9982 g/ml', () => {
    const water = rational('0.9982');
    expect(format(convert(quantity(rational(1), 'floz-US'), unit('oz-av')!, water), 2)).toBe('1.04 oz-av');
  });
});
