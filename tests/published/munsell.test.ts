/** The neutral scale against the value function of ASTM D1535 in both its forms. */
import { describe, expect, it } from 'vitest';
import { lightnessOfValue, luminanceOfValue, valueOfLightness, valueOfLuminance } from '../../server/paint/munsell.ts';
import { figures, table } from './table.ts';

describe('Munsell neutrals', () => {
  it.each(table('neutral-scale.csv'))('N$value', (row) => {
    const [value, perMgO, perDiffuser, lightness] = figures(row, 'value', 'per_mgo', 'per_diffuser', 'lightness');
    expect(luminanceOfValue(value!)).toBeCloseTo(perDiffuser!, 3);
    // The old form is the same curve on smoked magnesium oxide of luminance factor 0.975.
    expect(luminanceOfValue(value!) / 0.975).toBeCloseTo(perMgO!, 1);
    expect(lightnessOfValue(value!)).toBeCloseTo(lightness!, 3);
    expect(valueOfLightness(lightness!)).toBeCloseTo(value!, 3);
    expect(valueOfLuminance(perDiffuser!)).toBeCloseTo(value!, 3);
  });

  it('is 100 at N10, and 12.2363426 at 4.08244375 (the pair in the documentation of colour-science)', () => {
    expect(luminanceOfValue(10)).toBeCloseTo(100, 10);
    expect(luminanceOfValue(4.08244375)).toBeCloseTo(12.2363426, 5);
    expect(valueOfLuminance(12.2363426)).toBeCloseTo(4.08244375, 5);
  });

  it('has N5 at Y 19.2718 and L* 51.004, and L* 51 at N4.9996, by hand', () => {
    expect(luminanceOfValue(5)).toBeCloseTo(19.2718, 4);
    expect(lightnessOfValue(5)).toBeCloseTo(51.004, 3);
    expect(valueOfLightness(51)).toBeCloseTo(4.9996, 4);
  });

  it('refuses what is no grey', () => {
    expect(() => valueOfLuminance(101)).toThrow('between 0 and 100');
    expect(() => valueOfLightness(Number.NaN)).toThrow(RangeError);
  });
});
