import { describe, expect, test } from 'vitest';
import { quantity } from '../../../server/exact/quantity.ts';
import { decimal, rational } from '../../../server/exact/rational.ts';
import { costOf, costPer } from '../../../server/paint/cost.ts';
import { withdraw } from '../../../server/paint/stock.ts';
import { amounts } from './formulas.ts';

describe('cost', () => {
  const black = {
    code: 'BLK-1',
    grams: rational(104),
    density: rational('1.04'),
    price: quantity(rational('38.50'), 'EUR/l'),
  };
  const binder = { code: 'BND-0', grams: rational(500), price: quantity(rational('12.00'), 'EUR/kg') };

  test('by volume through the density, and by mass: 3.85 and 6.00', () => {
    const { money, unknown } = costOf([black, binder]);
    expect([...money].map(([currency, sum]) => [currency, decimal(sum, 2)])).toEqual([['EUR', '9.85']]);
    expect(unknown).toEqual([]);
  });

  test('per gram, ml or m2', () => {
    expect(decimal(costPer(costOf([black, binder]), rational(2)).money.get('EUR')!, 3)).toBe('4.925');
  });

  test('a price by volume without a density, or none at all, is named and not taken as nothing', () => {
    const { density: _, ...bare } = black;
    expect(costOf([bare, binder, { code: 'ALU-C', grams: rational(1) }]).unknown).toEqual(['BLK-1', 'ALU-C']);
  });

  test('two currencies stay two', () => {
    const dollars = { ...binder, price: quantity(rational('0.45359237'), 'USD/lb') };
    const { money } = costOf([black, dollars]);
    expect([...money.keys()]).toEqual(['EUR', 'USD']);
    expect(decimal(money.get('USD')!, 2)).toBe('0.50');
  });
});

describe('stock', () => {
  const stock = [
    { code: 'BLK-1', lot: 'B-4471', grams: rational(5) },
    { code: 'BLK-1', lot: 'B-4502', grams: rational(800) },
    { code: 'ALU-C', lot: 'A-12', grams: rational(10) },
  ];
  const taken = withdraw(stock, amounts(['BLK-1', '8'], ['ALU-C', '18'], ['BND-0', '28']));

  test('the first lot is used up before the next is opened, and that two are mixed is said', () => {
    expect(taken[0]!.from.map(({ lot, grams, left }) => [lot, grams.toString(), left.toString()])).toEqual([
      ['B-4471', '5', '0'],
      ['B-4502', '3', '797'],
    ]);
    expect(taken[0]!.mixesLots).toBe(true);
  });

  test('what runs out is said', () => {
    expect(taken[1]).toMatchObject({ code: 'ALU-C', mixesLots: false });
    expect(taken[1]!.short.toString()).toBe('8');
  });

  test('a toner whose stock is not kept is left out', () => {
    expect(taken.map(({ code }) => code)).toEqual(['BLK-1', 'ALU-C']);
  });
});
