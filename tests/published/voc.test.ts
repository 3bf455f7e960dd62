import { describe, expect, test } from 'vitest';
import { convert, quantity } from '../../server/exact/quantity.ts';
import { decimal, type Rational, rational } from '../../server/exact/rational.ts';
import { unit } from '../../server/exact/units.ts';
import {
  eu200442,
  organicShare,
  organicShareOfStated,
  us40cfr59,
  type VocContent,
  type VolatileLiquid,
  vocContent,
  waterAt20C,
} from '../../server/paint/voc.ts';

function gramsPerLitre(poundsPerGallon: string): Rational {
  return convert(quantity(rational(poundsPerGallon), 'lb/gal-US'), unit('g/l')!).value;
}

function poundsPerGallon(grams: Rational | undefined, places: number): string {
  return decimal(convert(quantity(grams!, 'g/l'), unit('lb/gal-US')!).value, places);
}

/** Paints & Coatings Resource Center, questions and answers, March 2004: prints 2.23 actual and 4.87 less water. */
test('8.52 lb/gal with 20.8 % solids and 53.0 % water, water at 8.33 lb/gal', () => {
  const paint: VolatileLiquid = {
    code: 'paint',
    grams: rational(100),
    density: gramsPerLitre('8.52').div(1000),
    organic: organicShare(rational('0.208'), rational('0.53')),
    water: rational('0.53'),
  };
  const waterDensity = gramsPerLitre('8.33').div(1000);
  const content = vocContent([paint], { waterDensity, exemptCounts: false });
  expect(poundsPerGallon(content.actual, 2)).toBe('2.23');
  expect(poundsPerGallon(content.lessWater, 2)).toBe('4.87');
  // By hand to more digits than are printed.
  expect([content.actual, content.lessWater].map((one) => poundsPerGallon(one, 5))).toEqual(['2.23224', '4.87483']);
  expect(decimal(content.actual, 3)).toBe('267.481');
  expect(decimal(content.lessWater!, 3)).toBe('584.134');
});

/**
 * Metal Finishing, Organic Finishing Guidebook 2013, p. 830: three gallons at 3.1 lb/gal, one at 1.8, seven of water.
 * It prints 2.75; its own arithmetic (9.3 + 1.8) / 4 is 2.775.
 */
test('water added to a mix leaves its figure less water alone', () => {
  const gallon = rational('3785.411784');
  const waterless = (code: string, gallons: number, stated: string): VolatileLiquid => ({
    code,
    grams: gallon.mul(gallons),
    density: rational(1),
    organic: organicShareOfStated(gramsPerLitre(stated), rational(1)),
    water: rational(0),
  });
  const water: VolatileLiquid = {
    code: 'water',
    grams: gallon.mul(7).mul(waterAt20C),
    density: waterAt20C,
    organic: rational(0),
    water: rational(1),
  };
  const mix = [waterless('A', 3, '3.1'), waterless('B', 1, '1.8'), water];
  expect(poundsPerGallon(vocContent(mix, us40cfr59).lessWater, 3)).toBe('2.775');
});

/** Directive 2004/42/EC, Annex II B, as in the government summary of its UK transposition (nibusinessinfo.co.uk). */
test('the EU limits in g/l, and which of them leave water in the volume', () => {
  const table = Object.fromEntries(eu200442.limits.map(({ id, limit, figure }) => [id, [limit.valueOf(), figure]]));
  expect(table).toEqual({
    preparatory: [850, 'actual'],
    'pre-cleaner': [200, 'actual'],
    bodyfiller: [250, 'lessWater'],
    surfacer: [540, 'lessWater'],
    'wash-primer': [780, 'lessWater'],
    topcoat: [420, 'lessWater'],
    special: [840, 'lessWater'],
  });
});

/** 40 CFR 59 Subpart B, Table 1; rows 1 to 6 as in a public copy, row 7 from memory (marked so in the table). */
describe('the US limits', () => {
  test('in g/l and lb/gal', () => {
    const table = us40cfr59.limits.map(({ limit, poundsPerGallon: pounds }) => [limit.valueOf(), pounds!.valueOf()]);
    expect(table).toEqual([
      [780, 6.5],
      [580, 4.8],
      [550, 4.6],
      [600, 5.0],
      [630, 5.2],
      [680, 5.7],
      [840, 7.0],
    ]);
    expect(us40cfr59.confirm).toContain('eCFR');
  });

  test('the two columns are rounded separately, so each is near the other and none is derived', () => {
    for (const { limit, poundsPerGallon: pounds } of us40cfr59.limits) {
      const off = gramsPerLitre(decimal(pounds!, 1)).sub(limit).abs().valueOf();
      expect(off).toBeLessThan(8);
    }
  });
});

/** 40 CFR 59.104(a)(1), written out here once more in plain doubles: (Wv - Ww - Wec) / (V - Vw - Vec). */
test("the figure less water and exempt is the regulation's own quotient", () => {
  const mix: VolatileLiquid[] = [
    liquid('A', '80', '1.02', '0.35', '0.20', '0.10', '0.79'),
    liquid('B', '20', '0.90', '0.05', '0', '0.30', '1.33'),
  ];
  const rows = [
    { m: 80, d: 1.02, s: 0.35, w: 0.2, x: 0.1, dx: 0.79 },
    { m: 20, d: 0.9, s: 0.05, w: 0, x: 0.3, dx: 1.33 },
  ];
  const total = (of: (row: (typeof rows)[number]) => number) => rows.reduce((all, row) => all + of(row), 0);
  const volatiles = total(({ m, s }) => m * (1 - s));
  const water = total(({ m, w }) => m * w);
  const exempt = total(({ m, x }) => m * x);
  const litres = total(({ m, d }) => m / d) / 1000;
  const waterLitres = water / 0.9982 / 1000;
  const exemptLitres = total(({ m, x, dx }) => (m * x) / dx) / 1000;
  const expected = (volatiles - water - exempt) / (litres - waterLitres - exemptLitres);
  const content: VocContent = vocContent(mix, us40cfr59);
  expect(content.lessWaterAndExempt!.valueOf()).toBeCloseTo(expected, 9);
});

function liquid(
  code: string,
  grams: string,
  density: string,
  s: string,
  w: string,
  x: string,
  dx: string,
): VolatileLiquid {
  return {
    code,
    grams: rational(grams),
    density: rational(density),
    organic: organicShare(rational(s), rational(w), rational(x)),
    water: rational(w),
    exempt: rational(x),
    exemptDensity: rational(dx),
  };
}
