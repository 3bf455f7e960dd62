import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { rational, sum } from '../../../server/exact/rational.ts';
import { atStrength, letDownShare, withLetDown } from '../../../server/paint/letdown.ts';
import {
  chooseScale,
  permissibleError,
  smallestBatch,
  smallestPour,
  testWeighing,
} from '../../../server/paint/scales.ts';
import { normalised, type Part, pourSheet, scaleTo, tooSmall, totalParts } from '../../../server/paint/weights.ts';
import { darkGreen, green, parts } from './formulas.ts';

const tenth = rational('0.1');

describe('the pours of the sample formulas, worked by hand', () => {
  test('80 g on a 0.1 g scale', () => {
    const sheet = pourSheet(green, rational(80), tenth);
    expect(sheet.pours.map((pour) => pour.cumulative)).toEqual(['33.0', '51.0', '52.0', '80.0']);
    expect(sheet.pours.map((pour) => pour.grams)).toEqual(['33.0', '18.0', '1.0', '28.0']);
    expect(sheet.differs).toBe(false);
  });

  test('rounding each pour by itself would make 80.1 g', () => {
    const alone = scaleTo(green, rational(80)).map(({ grams }) => grams.mul(10).round().div(10));
    expect(sum(alone).toString()).toBe('80.1');
  });

  test('80 g of the dark variant, whose parts add up to 99.30', () => {
    expect(totalParts(darkGreen).toString()).toBe('99.3');
    const sheet = pourSheet(darkGreen, rational(80), tenth);
    expect(sheet.pours.map((pour) => pour.cumulative)).toEqual(['33.2', '50.5', '51.8', '80.0']);
  });

  test('250 oz is exact where a double is not', () => {
    const ounces = rational('250').mul(rational('28.349523125'));
    expect(scaleTo(green, ounces)[0]!.grams.equals(rational('2920.000881875'))).toBe(true);
  });
});

test('a total that the scale cannot show is made at the nearest that it can, and said', () => {
  const sheet = pourSheet(green, rational('80.03'), rational('0.05'));
  expect(sheet.total.toString()).toBe('80.05');
  expect(sheet.differs).toBe(true);
  expect(sheet.pours.at(-1)!.cumulative).toBe('80.05');
});

test('half a step goes away from zero', () => {
  const sheet = pourSheet(parts(['A', '1'], ['B', '1']), rational('0.5'), tenth);
  expect(sheet.pours.map((pour) => pour.cumulative)).toEqual(['0.3', '0.5']);
});

test.each([
  ['no parts', [], '80'],
  ['only zeros', parts(['A', '0']), '80'],
  ['a negative part', parts(['A', '-1'], ['B', '5']), '80'],
  ['no weight', green, '0'],
])('refuses %s', (_, formula, grams) => {
  expect(() => pourSheet(formula, rational(grams), tenth)).toThrow(RangeError);
});

const anyFormula: fc.Arbitrary<Part[]> = fc
  .array(fc.integer({ min: 0, max: 100_000 }), { minLength: 1, maxLength: 12 })
  .filter((hundredths) => hundredths.some((part) => part > 0))
  .map((hundredths) => hundredths.map((part, i) => ({ code: `T-${i}`, parts: rational(`${part}/100`) })));
const anyWeight = fc.integer({ min: 1, max: 10_000_000 }).map((milligrams) => rational(`${milligrams}/1000`));
const anyStep = fc
  .constantFrom('0.001', '0.01', '0.02', '0.05', '0.1', '0.2', '0.5', '1', '5')
  .map((step) => rational(step));

describe('for every formula, weight and scale', () => {
  test('scaling keeps the ratios', () => {
    fc.assert(
      fc.property(anyFormula, anyWeight, (formula, grams) => {
        const amounts = scaleTo(formula, grams);
        expect(sum(amounts.map((amount) => amount.grams)).equals(grams)).toBe(true);
        const back = normalised(
          amounts.map((amount) => ({ code: amount.code, parts: amount.grams })),
          totalParts(formula),
        );
        expect(back.every((part, i) => part.parts.equals(formula[i]!.parts))).toBe(true);
      }),
    );
  });

  test('the total is exact at the nearest weighable weight', () => {
    fc.assert(
      fc.property(anyFormula, anyWeight, anyStep, (formula, grams, step) => {
        const sheet = pourSheet(formula, grams, step);
        expect(sheet.total.sub(grams).abs().mul(2).lte(step)).toBe(true);
        expect(sum(sheet.pours.map((pour) => rational(pour.grams))).equals(sheet.total)).toBe(true);
        expect(rational(sheet.pours.at(-1)!.cumulative).equals(sheet.total)).toBe(true);
        expect(sheet.differs).toBe(!grams.div(step).d.toString().match(/^1$/));
      }),
    );
  });

  test('no pour is negative, none is off by more than one step, and none stands where there are no parts', () => {
    fc.assert(
      fc.property(anyFormula, anyWeight, anyStep, (formula, grams, step) => {
        for (const pour of pourSheet(formula, grams, step).pours) {
          expect(pour.weighed.gte(0)).toBe(true);
          expect(pour.weighed.sub(pour.exact).abs().lte(step)).toBe(true);
          if (pour.exact.equals(0)) expect(pour.weighed.equals(0)).toBe(true);
        }
      }),
    );
  });
});

describe('pours that a scale cannot weigh', () => {
  // By hand from d/(2p) and d/p: half a step or a whole one as a share p of the pour.
  test.each([
    ['0.1', '5/100', '1', '2'],
    ['0.1', '2/100', '2.5', '5'],
    ['0.01', '2/100', '0.25', '0.5'],
  ])('step %s g within %s', (step, share, tared, running) => {
    expect(smallestPour(rational(step), rational(share), 'tared').toString()).toBe(tared);
    expect(smallestPour(rational(step), rational(share), 'running').toString()).toBe(running);
  });

  test('the smallest batch for a toner of 1.25 %', () => {
    const shares = green.map((part) => part.parts);
    expect(smallestBatch(shares, rational(1), tenth).toString()).toBe('80');
    expect(smallestBatch(shares, rational('2.5'), tenth).toString()).toBe('200');
  });

  test('at 50 g the black is too small, at 80 g it is not', () => {
    const least = rational(1);
    expect(tooSmall(pourSheet(green, rational(50), tenth), least).map((pour) => pour.code)).toEqual(['BLK-1']);
    expect(tooSmall(pourSheet(green, rational(80), tenth), least)).toEqual([]);
  });

  test('the smallest batch is the smallest', () => {
    fc.assert(
      fc.property(anyFormula, anyStep, (formula, step) => {
        const least = smallestPour(step, rational('1/20'), 'running');
        const batch = smallestBatch(
          formula.map((part) => part.parts),
          least,
          step,
        );
        expect(tooSmall(pourSheet(formula, batch, step), least)).toEqual([]);
        const one = batch.sub(step);
        expect(one.lte(0) || tooSmall(pourSheet(formula, one, step), least).length > 0).toBe(true);
      }),
    );
  });
});

describe('let-downs', () => {
  const letDown = { code: 'BLK-1-10', toner: 'BLK-1', carrier: 'BND-0', share: rational('1/10') };

  test('a tenth of black in binder takes the binder that it brings off the binder', () => {
    const weaker = withLetDown(green, letDown)!;
    expect(weaker.map((part) => [part.code, part.parts.toString()])).toEqual([
      ['GRN-2', '41.2'],
      ['ALU-C', '22.6'],
      ['BLK-1-10', '12.5'],
      ['BND-0', '23.7'],
    ]);
    expect(totalParts(weaker).equals(totalParts(green))).toBe(true);
  });

  test('not when there is too little binder, or no such toner', () => {
    expect(withLetDown(parts(['BLK-1', '10'], ['BND-0', '50']), letDown)).toBeUndefined();
    expect(withLetDown(parts(['WHT-1', '10'], ['BND-0', '50']), letDown)).toBeUndefined();
  });

  test('0.4 g of black is weighed as 1 g of a 40 % let-down', () => {
    expect(letDownShare(rational('0.4'), rational(1)).toString()).toBe('0.4');
  });
});

test('a lot at 97 % strength is poured larger, and said', () => {
  const { parts: corrected, changes } = atStrength(green, new Map([['BLK-1', rational('0.97')]]));
  expect(corrected[2]!.parts.mul(rational('0.97')).equals(rational('1.25'))).toBe(true);
  expect(changes.map((change) => change.code)).toEqual(['BLK-1']);
  expect(corrected[0]).toBe(green[0]);
});

describe('scales', () => {
  const fine = { name: 'fine', readability: rational('0.01'), capacity: rational(600) };
  const bench = { name: 'bench', readability: tenth, capacity: rational(7000) };

  test('the finest that carries cup and paint', () => {
    expect(chooseScale([bench, fine], rational(300))).toBe(fine);
    expect(chooseScale([bench, fine], rational(900))).toBe(bench);
    expect(chooseScale([bench, fine], rational(9000))).toBeUndefined();
  });

  // UK SI 1995/1907 schedule 2 (the EN 45501 bands): class III to 500 e half a step, to 2 000 e one, above one and a half.
  test.each([
    ['III', '50', 'verification', '0.05'],
    ['III', '100', 'verification', '0.1'],
    ['III', '100', 'service', '0.2'],
    ['III', '500', 'verification', '0.15'],
    ['II', '500', 'verification', '0.05'],
    ['II', '2000', 'service', '0.2'],
  ] as const)('class %s at %s g, %s: %s g', (accuracy, load, when, expected) => {
    expect(permissibleError(rational(load), tenth, accuracy, when).toString()).toBe(expected);
  });

  test('a test weight', () => {
    expect(testWeighing(rational(100), rational('100.2'), tenth)).toMatchObject({ within: false });
    expect(testWeighing(rational(100), rational('99.9'), tenth)).toMatchObject({ within: true });
  });
});
