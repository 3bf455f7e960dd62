import { expect, test } from 'vitest';
import { decimal, rational } from '../../server/exact/rational.ts';
import { permissibleError, pharmacyMinimum } from '../../server/paint/scales.ts';

/** USP <41> Balances, text of 1 August 2019: 2000 times the repeatability, which counts as no less than 0.41 steps. */
test.each([
  ['0.1', '82.0'],
  ['0.01', '8.2'],
])('USP <41>: a step of %s g weighs from %s g', (step, expected) => {
  expect(decimal(pharmacyMinimum(rational(step)), 1)).toBe(expected);
});

/**
 * UK SI 1995/1907, schedule 2, table 3 (the classes of OIML R 76 / EN 45501): errors at verification in halves of e.
 * The stored copy misprints the first band of class II as 20 000 e; OIML R 76-1 has 5 000 e.
 */
test.each([
  ['II', '5000', '1/2'],
  ['II', '5001', '1'],
  ['II', '20000', '1'],
  ['II', '20001', '3/2'],
  ['III', '500', '1/2'],
  ['III', '501', '1'],
  ['III', '2000', '1'],
  ['III', '10000', '3/2'],
] as const)('class %s at %s e: %s e, in service the double', (accuracy, steps, error) => {
  const step = rational('0.05');
  const load = step.mul(rational(steps));
  expect(permissibleError(load, step, accuracy, 'verification').equals(step.mul(rational(error)))).toBe(true);
  expect(permissibleError(load, step, accuracy, 'service').equals(step.mul(rational(error)).mul(2))).toBe(true);
});
