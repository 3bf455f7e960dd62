import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { decimal, rational } from '../../../server/exact/rational.ts';
import { type LeftoverPlan, mostLeftover, useLeftover } from '../../../server/paint/leftover.ts';
import { darkGreen, green, parts } from './formulas.ts';

const hundredth = rational('0.01');

function plan(...args: Parameters<typeof useLeftover>): LeftoverPlan {
  const found = useLeftover(...args);
  if ('foreign' in found) throw new Error(`foreign: ${found.foreign}`);
  return found;
}

describe('35 g of the green towards the dark variant, worked by hand', () => {
  const leftover = { composition: green, grams: rational(35) };

  test('80 g needs 18.77, 9.41, 0.89 and 15.92 g', () => {
    const { total, additions } = plan(darkGreen, leftover, rational(80), hundredth);
    expect(total.toString()).toBe('80');
    expect(additions.map((pour) => [pour.code, decimal(pour.exact, 2)])).toEqual([
      ['GRN-2', '18.77'],
      ['ALU-C', '9.41'],
      ['BLK-1', '0.89'],
      ['BND-0', '15.92'],
    ]);
    expect(additions.at(-1)!.cumulative).toBe('80.00');
  });

  test('the smallest batch is where the flake alone is enough: 35 x 0.226 x 99.3 / 21.5', () => {
    const { total, least, additions } = plan(darkGreen, leftover, rational(20), hundredth);
    expect(decimal(least, 4)).toBe('36.5332');
    expect(total.equals(least)).toBe(true);
    expect(additions.map((pour) => pour.code)).toEqual(['GRN-2', 'BLK-1', 'BND-0']);
  });

  test('how much of it fits into 80 g', () => {
    const most = mostLeftover(darkGreen, green, rational(80));
    expect(decimal(most, 3)).toBe('76.643');
    expect(plan(darkGreen, { composition: green, grams: most }, rational(1), hundredth).total.equals(80)).toBe(true);
  });
});

test('a leftover with a foreign toner is refused by name', () => {
  const pearl = { composition: parts(['GRN-2', '50'], ['PRL-3', '2']), grams: rational(10) };
  expect(useLeftover(green, pearl, rational(80), hundredth)).toEqual({ foreign: ['PRL-3'] });
  expect(mostLeftover(green, pearl.composition, rational(80)).toString()).toBe('0');
});

test('a leftover of the formula itself is used as it is', () => {
  const { total, additions } = plan(green, { composition: green, grams: rational(35) }, rational(10), hundredth);
  expect(total.toString()).toBe('35');
  expect(additions).toEqual([]);
});

test('leftover and additions together are the formula', () => {
  const any = fc.array(fc.integer({ min: 0, max: 1000 }), { minLength: 4, maxLength: 4 });
  fc.assert(
    fc.property(any, fc.integer({ min: 1, max: 300 }), fc.integer({ min: 1, max: 300 }), (shares, grams, asked) => {
      const whole = shares.reduce((a, b) => a + b);
      fc.pre(whole > 0);
      const composition = green.map(({ code }, i) => ({ code, parts: rational(shares[i]!) }));
      const { total, additions } = plan(green, { composition, grams: rational(grams) }, rational(asked), hundredth);
      expect(total.gte(asked) && total.gte(grams)).toBe(true);
      green.forEach(({ code, parts: wanted }, i) => {
        const held = rational(`${shares[i]! * grams}/${whole}`);
        const added = additions.find((pour) => pour.code === code)?.exact ?? rational(0);
        expect(held.add(added).equals(wanted.mul(total).div(100))).toBe(true);
      });
    }),
  );
});
