import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { decimal, type Rational, rational } from '../../../server/exact/rational.ts';
import { readyToSpray } from '../../../server/paint/ready.ts';
import {
  eu200442,
  judgeVoc,
  multiStageVoc,
  organicShare,
  strictest,
  us40cfr59,
  type VolatileLiquid,
  vocContent,
} from '../../../server/paint/voc.ts';

function liquid(code: string, grams: string | Rational, density: string, solids: string, water = '0', exempt = '0') {
  return {
    code,
    grams: typeof grams === 'string' ? rational(grams) : grams,
    density: rational(density),
    organic: organicShare(rational(solids), rational(water), rational(exempt)),
    water: rational(water),
    exempt: rational(exempt),
    exemptDensity: rational('0.79'),
  } satisfies VolatileLiquid;
}

const topcoat = eu200442.limits.find(({ id }) => id === 'topcoat')!;

// Worked by hand in double precision with water at 0.9982 g/ml.
describe('a waterborne base coat and its reducer', () => {
  test('passes 420 g/l', () => {
    const content = vocContent(
      [liquid('base', '100', '1.03', '0.24', '0.65'), liquid('red', '15', '0.995', '0', '0.95')],
      eu200442,
    );
    expect(decimal(content.actual, 3)).toBe('104.758');
    expect(decimal(content.lessWater!, 2)).toBe('358.56');
    expect(judgeVoc(content, topcoat)).toMatchObject({ figure: 'lessWater', within: true });
  });

  test('fails it with a little less solids, although the actual figure looks harmless', () => {
    const content = vocContent(
      [liquid('base', '100', '1.03', '0.20', '0.66'), liquid('red', '15', '0.995', '0', '0.92')],
      eu200442,
    );
    expect(decimal(content.actual, 3)).toBe('135.517');
    expect(decimal(content.lessWater!, 2)).toBe('471.77');
    expect(judgeVoc(content, topcoat).within).toBe(false);
  });
});

test.each([
  ['mix before', '448.667', false],
  ['paint', '435.500', false],
] as const)('clear 2:1 by volume and 10 %% thinner of the %s', (of, expected, within) => {
  const by = 'volume' as const;
  const mix = readyToSpray({ code: 'clear', grams: rational(196), density: rational('0.98') }, [
    { code: 'hardener', role: 'hardener', density: rational('1.06'), share: rational('1/2'), of: 'paint', by },
    { code: 'thinner', role: 'reducer', density: rational('0.87'), share: rational('0.1'), of, by },
  ]);
  const [clear, hardener, thinner] = mix.lines.map((line) => line.grams);
  const content = vocContent(
    [
      liquid('clear', clear!, '0.98', '0.54'),
      liquid('hardener', hardener!, '1.06', '0.70'),
      liquid('thinner', thinner!, '0.87', '0'),
    ],
    eu200442,
  );
  expect(decimal(content.actual, 3)).toBe(expected);
  expect(judgeVoc(content, topcoat).within).toBe(within);
});

test('an exempt solvent is VOC in the EU and none in the US', () => {
  const paint = liquid('paint', '100', '0.95', '0.30', '0', '0.25');
  const us = vocContent([paint], us40cfr59);
  expect(decimal(us.actual, 1)).toBe('427.5');
  expect(decimal(us.lessWaterAndExempt!, 2)).toBe('611.27');
  const eu = vocContent([paint], eu200442);
  expect(decimal(eu.lessWater!, 1)).toBe('665.0');
  expect(eu.lessWaterAndExempt!.equals(eu.lessWater!)).toBe(true);
});

test('several stages', () => {
  expect(multiStageVoc(rational(620), [], rational(500)).toString()).toBe('540');
  expect(multiStageVoc(rational(620), [rational(640)], rational(500)).toString()).toBe('565');
});

test('a limit is met to the last digit, not after rounding', () => {
  const content = vocContent([liquid('paint', '100', '0.42001', '0')], eu200442);
  expect(judgeVoc(content, topcoat).within).toBe(false);
  expect(judgeVoc(content, { id: 'own', name: 'own limit', limit: rational('420.01'), figure: 'actual' }).within).toBe(
    true,
  );
});

test('the lower of two limits rules', () => {
  expect(strictest(us40cfr59.limits)!.id).toBe('sealer');
  expect(strictest([])).toBeUndefined();
});

test('refuses what cannot be', () => {
  expect(() => organicShare(rational('0.6'), rational('0.5'))).toThrow('more than 100 %');
  expect(() => vocContent([], eu200442)).toThrow(RangeError);
  const { exemptDensity: _, ...unknown } = liquid('paint', '100', '0.95', '0.30', '0', '0.25');
  expect(() => vocContent([unknown], us40cfr59)).toThrow('exempt volatiles of paint');
  expect(vocContent([unknown], eu200442).actual.gt(0)).toBe(true);
});

test('nothing but water has no figure less water, and is within every limit', () => {
  const content = vocContent([liquid('water', '100', '0.9982', '0', '1')], eu200442);
  expect(content.lessWater).toBeUndefined();
  expect(judgeVoc(content, topcoat).within).toBe(true);
});

test('the figure does not hang on the size of the batch, and leaving water out never lowers it', () => {
  const share = fc.integer({ min: 0, max: 50 });
  fc.assert(
    fc.property(
      share,
      share,
      fc.integer({ min: 80, max: 140 }),
      fc.integer({ min: 1, max: 5000 }),
      (solids, water, density, grams) => {
        const of = (mass: string) =>
          vocContent([liquid('paint', mass, `${density / 100}`, `${solids / 100}`, `${water / 100}`)], us40cfr59);
        const one = of('1');
        const many = of(String(grams));
        expect(many.actual.equals(one.actual)).toBe(true);
        expect(many.lessWater!.equals(one.lessWater!)).toBe(true);
        expect(many.lessWater!.gte(many.actual)).toBe(true);
      },
    ),
  );
});
