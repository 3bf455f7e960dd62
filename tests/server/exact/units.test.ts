import { describe, expect, test } from 'vitest';
import { isMetric, unit, unitAdvice, unitsOf } from '../../../server/exact/units.ts';

describe('unit', () => {
  test('takes the litre in either case and nothing else', () => {
    expect(unit('mL')).toBe(unit('ml'));
    expect(unit('g/L')).toBe(unit('g/l'));
    expect(unit('EUR/L')?.dimension).toBe('price per volume');
    expect(unit('KG')).toBeUndefined();
    expect(unit('G')).toBeUndefined();
  });

  test('leaves the L of a currency alone', () => {
    expect(unit('PLN/L')).toMatchObject({ dimension: 'price per volume', currency: 'PLN', symbol: 'PLN/l' });
    expect(unit('ALL')).toMatchObject({ dimension: 'money', currency: 'ALL' });
  });

  test.each(['oz', 'gal', 'lb/gal', 'EUR/m2', 'eur/l', 'constructor', ''])('refuses %j', (symbol) => {
    expect(unit(symbol)).toBeUndefined();
  });

  test('prices per litre and per kilogram are of two dimensions', () => {
    expect(unit('USD/gal-US')?.dimension).toBe('price per volume');
    expect(unit('GBP/kg')?.dimension).toBe('price per mass');
  });
});

test('kilograms and millilitres are metric, pounds, pints and minutes are not', () => {
  const metric = (symbol: string) => isMetric(unit(symbol)!);
  expect(['g', 'kg', 'mg', 'ml', 'l', 'g/l', 'kg/m3', 'mm'].filter((symbol) => !metric(symbol))).toEqual([]);
  expect(['lb', 'oz-av', 'pt-US', 'gal-imp', 'mil', 'ft2', 'lb/gal-US', 'min'].filter(metric)).toEqual([]);
});

describe('advice', () => {
  test('a bare ounce gets both meanings', () => {
    expect(unitAdvice('oz')).toContain('oz-av');
    expect(unitAdvice('oz')).toContain('floz-US');
  });

  test.each([
    ['KG', "write 'kg'"],
    ['grams', "write 'g'"],
    ['\u00b5m', "write 'um'"],
    ['\u03bcm', "write 'um'"],
    ['eur/l', "write 'EUR/l'"],
    ['de00', "write 'dE00'"],
    ['\u00b0C', "write 'C'"],
    ['°c', "write 'C'"],
  ])('%s: %s', (symbol, expected) => {
    expect(unitAdvice(symbol)).toBe(expected);
  });

  test('has nothing to say to a unit or to nonsense', () => {
    expect(unitAdvice('g')).toBeUndefined();
    expect(unitAdvice('furlong')).toBeUndefined();
    expect(unitAdvice('constructor')).toBeUndefined();
  });
});

test('every unit offered is read back as itself', () => {
  for (const dimension of [
    'mass',
    'volume',
    'density',
    'price per volume',
    'price per mass',
    'money',
    'time',
  ] as const) {
    const offered = unitsOf(dimension);
    expect(offered.length).toBeGreaterThan(1);
    for (const each of offered) expect(unit(each.symbol)).toEqual(each);
  }
});
