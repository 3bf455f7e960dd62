import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { decimal, rational } from '../../../server/exact/rational.ts';
import {
  areaCovered,
  dryFilm,
  filmFromMass,
  theoreticalCoverage,
  volumeNeeded,
  volumeSolidsFromMass,
  wetFilm,
} from '../../../server/paint/coverage.ts';
import { densityOfMix, mixFilling, volumeOfMix, volumeSolidsOfMix } from '../../../server/paint/volume.ts';

const job = {
  area: rational('1.5'),
  coats: rational(1),
  filmPerCoat: rational(15),
  volumeSolids: rational('0.35'),
  transferEfficiency: rational('0.65'),
};

// Worked by hand: 35 % volume solids, 15 um, 1.5 m2, 65 % transfer efficiency.
describe('a panel of 1.5 m2', () => {
  test('takes 98.90 ml at 23.333 m2/l, 15.167 in practice', () => {
    const theory = theoreticalCoverage(job.volumeSolids, job.filmPerCoat);
    expect(decimal(theory, 3)).toBe('23.333');
    expect(decimal(theory.mul(job.transferEfficiency), 3)).toBe('15.167');
    expect(decimal(volumeNeeded(job), 2)).toBe('98.90');
  });

  test('two coats, a fixed loss and a blended wing of 0.8 m2 at half film', () => {
    const more = { ...job, coats: rational(2), fixedLoss: rational(30), blendArea: rational('0.8') };
    // (1.5 + 0.4) x 2 x 15 / (0.35 x 0.65) + 30
    expect(decimal(volumeNeeded(more), 2)).toBe('280.55');
  });

  test('its wet film is 42.857 um, and 47.143 when thinned by 10 %', () => {
    expect(decimal(wetFilm(rational(15), job.volumeSolids), 3)).toBe('42.857');
    expect(decimal(wetFilm(rational(15), job.volumeSolids, rational('0.1')), 3)).toBe('47.143');
  });
});

test('volume solids from 40 % by mass at 1.02 over a solvent of 0.88 are 30.4545 %', () => {
  const solids = volumeSolidsFromMass(rational('0.40'), rational('1.02'), rational('0.88'));
  expect(decimal(solids.mul(100), 4)).toBe('30.4545');
  expect(() => volumeSolidsFromMass(rational('0.1'), rational('1.3'), rational('0.8'))).toThrow(RangeError);
});

test('a card of 0.02 m2 that gained 0.45 g at 1.5 g/ml carries 15 um', () => {
  expect(filmFromMass(rational('0.45'), rational('0.02'), rational('1.5')).toString()).toBe('15');
});

test.each([
  ['the film', { filmPerCoat: rational(0) }],
  ['volume solids', { volumeSolids: rational(0) }],
  ['volume solids', { volumeSolids: rational(35) }],
  ['transfer efficiency', { transferEfficiency: rational(0) }],
])('says which figure makes no sense: %s', (name, wrong) => {
  expect(() => volumeNeeded({ ...job, ...wrong })).toThrow(name);
});

test('a cup smaller than the fixed loss covers nothing', () => {
  expect(areaCovered(rational(20), { ...job, fixedLoss: rational(30) }).toString()).toBe('0');
});

const share = fc.integer({ min: 1, max: 100 }).map((percent) => rational(`${percent}/100`));
const positive = fc.integer({ min: 1, max: 1000 }).map((tenths) => rational(`${tenths}/10`));

test('the volume for an area covers that area, and a wet film dries to its dry film', () => {
  fc.assert(
    fc.property(
      positive,
      positive,
      positive,
      share,
      share,
      positive,
      (area, coats, filmPerCoat, solids, transfer, fixedLoss) => {
        const any = { area, coats, filmPerCoat, volumeSolids: solids, transferEfficiency: transfer, fixedLoss };
        expect(areaCovered(volumeNeeded(any), any).equals(area)).toBe(true);
        expect(dryFilm(wetFilm(filmPerCoat, solids, transfer), solids, transfer).equals(filmPerCoat)).toBe(true);
      },
    ),
  );
});

describe('a mix of liquids', () => {
  const liquids = [
    { code: 'A', grams: rational(100), density: rational('1.25'), volumeSolids: rational('0.5') },
    { code: 'B', grams: rational(20), density: rational(1), volumeSolids: rational(0) },
  ];

  test('has the mass over the sum of volumes as its density', () => {
    expect(volumeOfMix(liquids).toString()).toBe('100');
    expect(densityOfMix(liquids).toString()).toBe('1.2');
    expect(volumeSolidsOfMix(liquids).toString()).toBe('0.4');
    expect(() => densityOfMix([])).toThrow(RangeError);
  });

  test('fills a volume with its ratios kept', () => {
    const quarter = mixFilling(liquids, rational(250));
    expect(volumeOfMix(quarter).toString()).toBe('250');
    expect(quarter.map(({ grams }) => grams.toString())).toEqual(['250', '50']);
  });
});
