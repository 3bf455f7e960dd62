import { describe, expect, test } from 'vitest';
import { decimal, rational } from '../../../server/exact/rational.ts';
import { cupLoss, lossRate, readingError, solidsAfterLoss } from '../../../server/paint/evaporation.ts';

const tenth = rational('0.1');

test('reading alone can be off by a step when running, by more after many tares', () => {
  expect(readingError(4, tenth, 'running').toString()).toBe('0.1');
  expect(readingError(4, tenth, 'tared').toString()).toBe('0.3');
});

describe('a cup of 80.0 g of pours, weighed again', () => {
  const weigh = (reads: string) => cupLoss(rational(80), rational(reads), rational('0.3'));

  test('within the error of the scale it says nothing', () => {
    expect(weigh('79.7')).toMatchObject({ evaporated: false, unexplained: false });
    expect(weigh('79.7').putBack.toString()).toBe('0');
  });

  test('1.2 g light has lost volatiles, put back as reducer', () => {
    expect(weigh('78.8').evaporated).toBe(true);
    expect(weigh('78.8').putBack.toString()).toBe('1.2');
  });

  test('heavier than its pours holds a pour that was not written down', () => {
    expect(weigh('80.9')).toMatchObject({ evaporated: false, unexplained: true });
    expect(weigh('80.9').putBack.toString()).toBe('0');
  });
});

test('a rate from two weighings', () => {
  expect(lossRate(rational(80), rational('79.4'), rational(30)).toString()).toBe('0.02');
  expect(() => lossRate(rational(80), rational(79), rational(0))).toThrow(RangeError);
});

test('solids rise by what left: 24 % of 80 g over 78.8 g', () => {
  expect(decimal(solidsAfterLoss(rational(80), rational('0.24'), rational('1.2')).mul(100), 3)).toBe('24.365');
  expect(() => solidsAfterLoss(rational(80), rational('0.24'), rational(70))).toThrow('more was lost');
});
