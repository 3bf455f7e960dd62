import { expect, test } from 'vitest';
import { convert, quantity } from '../../server/exact/quantity.ts';
import { decimal, one, rational } from '../../server/exact/rational.ts';
import { unit } from '../../server/exact/units.ts';
import { theoreticalCoverage } from '../../server/paint/coverage.ts';

/** Industrial estimating guides (scribd.com 343849341 and 104802451): m2/l = 10 VS % / um and ft2/gal = 1604 VS / mil. */
test('65 % volume solids at 125 um cover 5.2 m2 a litre', () => {
  expect(decimal(theoreticalCoverage(rational('0.65'), rational(125)), 1)).toBe('5.2');
});

function squareFeetPerGallon(volumeSolids: string, mils: number) {
  const film = convert(quantity(rational(mils), 'mil'), unit('um')!).value;
  const perLitre = theoreticalCoverage(rational(volumeSolids), film);
  const gallon = convert(quantity(one, 'gal-US'), unit('l')!).value;
  return convert(quantity(perLitre.mul(gallon), 'm2'), unit('ft2')!).value;
}

test('1604 square feet a gallon and mil, exactly 1604.1667; 208.5 with 65 % at 5 mil', () => {
  expect(decimal(squareFeetPerGallon('1', 1), 4)).toBe('1604.1667');
  // The guide prints 208.52, from the rounded 1604.
  expect(decimal(squareFeetPerGallon('0.65', 5), 1)).toBe('208.5');
  expect(decimal(rational('1604').mul(rational('0.65')).div(5), 2)).toBe('208.52');
});
