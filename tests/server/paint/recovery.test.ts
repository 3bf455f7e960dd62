import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { decimal, one, rational } from '../../../server/exact/rational.ts';
import {
  type Batch,
  deviations,
  growth,
  inCup,
  mixtureAfter,
  nextPour,
  overPoured,
  recoveryChoices,
  stillToPour,
} from '../../../server/paint/recovery.ts';
import { type Amount, pourSheet } from '../../../server/paint/weights.ts';
import { amounts, darkGreen, green } from './formulas.ts';

const tenth = rational('0.1');

function batch(poured: Amount[], formula = darkGreen, target = '80'): Batch {
  return { formula, target: rational(target), poured, readability: tenth };
}

function choice(kind: string, ...args: Parameters<typeof recoveryChoices>) {
  return recoveryChoices(...args).find((each) => each.kind === kind)!;
}

test('what is still to come ends at the sheet, whatever is in the cup', () => {
  const poured = fc.array(
    fc.record({ code: fc.constantFrom(...darkGreen.map((part) => part.code)), tenths: fc.nat(400) }),
  );
  fc.assert(
    fc.property(poured, (pours) => {
      const under = batch(pours.map(({ code, tenths }) => ({ code, grams: rational(tenths).div(10) })));
      const done = [...under.poured, ...stillToPour(under).map(({ code, weighed }) => ({ code, grams: weighed }))];
      expect(nextPour({ ...under, poured: done })).toBeUndefined();
      expect(deviations({ ...under, poured: done }).every(({ off }) => off.gte(0))).toBe(true);
    }),
  );
});

describe('the sample batch: 80 g of the dark green', () => {
  test('before the first pour', () => {
    expect(nextPour(batch([]))).toMatchObject({ code: 'GRN-2', grams: '33.2', cumulative: '33.2' });
  });

  test('after the first', () => {
    expect(nextPour(batch(amounts(['GRN-2', '33.2'])))).toMatchObject({
      code: 'ALU-C',
      grams: '17.3',
      cumulative: '50.5',
    });
    expect(recoveryChoices(batch(amounts(['GRN-2', '33.2'])))).toEqual([]);
  });

  const over = batch(amounts(['GRN-2', '33.2'], ['ALU-C', '18.0']));

  test('ALU-C over-poured', () => {
    expect(overPoured(over).map(({ code, off }) => [code, off.toString()])).toEqual([['ALU-C', '0.7']]);
    expect(nextPour(over)).toMatchObject({ code: 'BLK-1', grams: '1.3', cumulative: '52.5' });
  });

  // Worked by hand: 18.0 x 99.30 / (21.50 x 80).
  test('exact recovery grows the batch 1.03919 times, to 83.13 g', () => {
    const k = growth(darkGreen, rational(80), over.poured)!;
    expect(decimal(k, 5)).toBe('1.03919');
    expect(decimal(k.mul(80), 2)).toBe('83.13');
    const exact = choice('exact', over);
    expect(exact.total.toString()).toBe('83.1');
    expect(exact.additions.map((pour) => [pour.code, decimal(pour.exact, 3)])).toEqual([
      ['GRN-2', '1.293'],
      ['BLK-1', '1.381'],
      ['BND-0', '29.260'],
    ]);
    expect(exact.additions.map((pour) => pour.cumulative)).toEqual(['52.5', '53.9', '83.1']);
  });

  test('leave it', () => {
    const leave = choice('leave', over);
    expect(leave.additions.map((pour) => pour.code)).toEqual(['BLK-1', 'BND-0']);
    expect(leave.total.toString()).toBe('80.7');
    expect(leave.removed.toString()).toBe('0');
  });

  test('draw off and finish', () => {
    const drawn = choice('draw off', over);
    // By hand: 51.2 g less 51.2 / 1.03919.
    expect(drawn.removed.toString()).toBe('1.9');
    expect(drawn.total.toString()).toBe('80');
  });

  test('start again', () => {
    const again = choice('start again', over);
    expect(again.removed.toString()).toBe('51.2');
    expect(again.additions.map((pour) => pour.cumulative)).toEqual(['33.2', '50.5', '51.8', '80.0']);
  });

  test('what does not fit the cup is said', () => {
    const choices = recoveryChoices(over, { cupLimit: rational(83) });
    expect(choices.map(({ kind, fits }) => [kind, fits])).toEqual([
      ['leave', true],
      ['exact', false],
      ['draw off', true],
      ['start again', true],
    ]);
  });
});

// Worked by hand with 100 g of 41.20 / 22.60 / 1.25 / 34.95.
describe('100 g of the green', () => {
  test('22.60 poured as 23.50', () => {
    const over = batch(amounts(['GRN-2', '41.2'], ['ALU-C', '23.5']), green, '100');
    expect(decimal(growth(green, over.target, over.poured)!, 7)).toBe('1.0398230');
    const exact = choice('exact', { ...over, readability: rational('0.001') });
    expect(exact.total.toString()).toBe('103.982');
    expect(exact.additions.map((pour) => decimal(pour.exact, 3))).toEqual(['1.641', '1.300', '36.342']);
  });

  test('1.25 poured as 1.40 as well', () => {
    const over = batch(amounts(['GRN-2', '41.2'], ['ALU-C', '23.5'], ['BLK-1', '1.40']), green, '100');
    expect(growth(green, over.target, over.poured)!.toString()).toBe('1.12');
    const exact = choice('exact', over);
    expect(exact.total.toString()).toBe('112');
    expect(exact.additions.map((pour) => decimal(pour.exact, 3))).toEqual(['4.944', '1.812', '39.144']);
  });
});

describe('the cheapest recovery', () => {
  /** A stand-in for a prediction: a hundred times the largest error of share. It falls as the batch grows. */
  function shareError(mixture: readonly Amount[]): number {
    const total = inCup(mixture);
    const wanted = new Map(
      pourSheet(darkGreen, one, rational('0.000001')).pours.map((pour) => [pour.code, pour.share]),
    );
    return Math.max(
      ...mixture.map(({ code, grams }) => Math.abs(grams.div(total).sub(wanted.get(code)!).valueOf()) * 100),
    );
  }
  const over = batch(amounts(['GRN-2', '33.2'], ['ALU-C', '18.0']));

  test('is the smallest batch within tolerance', () => {
    const leave = choice('leave', over, { difference: shareError, tolerance: 0.4 });
    const cheapest = choice('cheapest', over, { difference: shareError, tolerance: 0.4 });
    expect(leave.predicted).toBeGreaterThan(0.4);
    expect(cheapest.predicted).toBeLessThanOrEqual(0.4);
    expect(cheapest.total.gt(leave.total)).toBe(true);
    expect(cheapest.total.lt(choice('exact', over).total)).toBe(true);
    const step = cheapest.total.sub(rational('0.1'));
    const oneLess = choice('leave', { ...over, target: step.sub(leave.total.sub(80)) }, { difference: shareError });
    expect(oneLess.predicted).toBeGreaterThan(0.4);
  });

  test('is not offered when leaving it is good enough, or nothing can be predicted', () => {
    const kinds = (tolerance: number, difference: () => number | undefined) =>
      recoveryChoices(over, { difference, tolerance }).map(({ kind }) => kind);
    expect(kinds(1, () => 0.5)).not.toContain('cheapest');
    expect(kinds(1, () => undefined)).not.toContain('cheapest');
    expect(kinds(1, () => Number.NaN)).not.toContain('cheapest');
    expect(kinds(0, () => 0.5)).not.toContain('cheapest');
    expect(recoveryChoices(over, { difference: () => Number.NaN })[0]).not.toHaveProperty('predicted');
  });
});

describe('other slips', () => {
  test('a toner that the formula does not hold leaves two ways', () => {
    const wrong = batch(amounts(['GRN-2', '33.2'], ['WHT-1', '2.0']));
    expect(recoveryChoices(wrong).map(({ kind }) => kind)).toEqual(['leave', 'start again']);
    expect(deviations(wrong)[1]).toMatchObject({ code: 'WHT-1' });
  });

  test('a short pour is topped up first, unless it is too small to weigh', () => {
    const short = batch(amounts(['GRN-2', '32.0']));
    expect(nextPour(short)).toMatchObject({ code: 'GRN-2', grams: '1.2', cumulative: '33.2' });
    expect(nextPour({ ...short, leastPour: rational(2) })).toMatchObject({
      code: 'ALU-C',
      grams: '17.3',
      cumulative: '49.3',
    });
  });

  test('a finished batch has no next pour', () => {
    const all = amounts(['GRN-2', '33.2'], ['ALU-C', '17.3'], ['BLK-1', '1.3'], ['BND-0', '28.2']);
    expect(nextPour(batch(all))).toBeUndefined();
  });

  test('two goes at one toner count together', () => {
    const twice = batch(amounts(['GRN-2', '20'], ['GRN-2', '14']));
    expect(overPoured(twice).map(({ off }) => off.toString())).toEqual(['0.8']);
  });
});

test('exact recovery ends at the ratios of the formula, whatever was poured', () => {
  const pours = fc.array(fc.integer({ min: 1, max: 2000 }), { minLength: 4, maxLength: 4 });
  fc.assert(
    fc.property(pours, fc.integer({ min: 1, max: 4 }), fc.integer({ min: 10, max: 500 }), (tenths, poured, target) => {
      const cup = green.slice(0, poured).map(({ code }, i) => ({ code, grams: rational(`${tenths[i]}/10`) }));
      const running = { formula: green, target: rational(target), poured: cup, readability: tenth };
      const k = growth(green, running.target, cup)!;
      fc.pre(k.gt(1) && overPoured(running).length > 0);
      const exact = choice('exact', running);
      const total = k.mul(target);
      expect(exact.total.sub(total).abs().lte(tenth)).toBe(true);
      for (const { code, grams } of mixtureAfter(exact, cup)) {
        const wanted = green
          .find((part) => part.code === code)!
          .parts.mul(total)
          .div(100);
        // Each pour is rounded by the running column: off by at most a step, and a residue below half a step is not poured.
        expect(grams.sub(wanted).abs().lte(rational('0.15'))).toBe(true);
      }
      // Before rounding it is the formula exactly.
      const unrounded = new Map(cup.map(({ code, grams }) => [code, grams]));
      for (const { code, parts } of green) {
        const already = unrounded.get(code) ?? rational(0);
        const added = exact.additions.find((pour) => pour.code === code)?.exact;
        if (added) expect(already.add(added).div(total).mul(100).equals(parts)).toBe(true);
      }
    }),
  );
});
