import { describe, expect, it } from 'vitest';
import { findingsFor, foundIn } from '../marked.ts';

// Angles from the published CIEDE2000 pairs (Sharma, Wu, Dalal 2005): pair 25 is 1.2644, pair 29 is 2.0373.
const BOOK = `reading R "r"
  lab 45as15 60.2574 -34.0099 36.2677
  lab 45as45 22.7233 20.0904 -46.6940
sprayout C of F
  toner A 5
  toner B 95
  lab 45as15 60.4626 -34.1751 39.4387
  lab 45as45 23.0331 14.9730 -42.5619
`;
const formula = (expectation: string) =>
  `${BOOK}formula F "f"\n  standard R\n  target weight 250 g\n  undercoat SEAL grey N5\n  toner A 5\n  toner B 95\n  expect ${expectation}\n`;
const verdict = (expectation: string) => {
  const [found] = foundIn(formula(expectation)).filter((one) => one.code.startsWith('expectation'));
  return found ? found.code.slice('expectation-'.length) : 'holds';
};

describe('an expectation', () => {
  it.each([
    ['sprayout at 45as15 <= 1.27 dE00', 'holds'],
    ['sprayout at 45as15 <= 1.26 dE00', 'fails'],
    ['sprayout at 45as15 = 1.26 dE00', 'holds'],
    ['sprayout worst <= 2.04 dE00', 'holds'],
    ['sprayout worst <= 2.03 dE00', 'fails'],
    ['sprayout mean <= 1.66 dE00', 'holds'],
    ['sprayout mean <= 1.65 dE00', 'fails'],
    ['sprayout at 45as75 <= 9 dE00', 'open'],
    ['sprayout worst under A/10 <= 9 dE00', 'open'],
    ['total = 100', 'holds'],
    ['total > 100', 'fails'],
    ['share A <= 5 %', 'holds'],
    ['share A < 5 %', 'fails'],
    ['share A = 0.05', 'unit'],
    ['pour A >= 12.5 g', 'holds'],
    ['pour A > 12.5 g', 'fails'],
    ['pour A > 0.0125 kg', 'fails'],
    ['pour A > 12.5 ml', 'unit'],
    ['grey = 5', 'unit'],
    ['grey = L* 101', 'open'],
    ['coats <= N5', 'unit'],
    ['total = 100 g', 'unit'],
  ])('%s: %s', (expectation, wanted) => {
    expect(verdict(expectation)).toBe(wanted);
  });

  it('tells the figure as it is', () => {
    const [found] = foundIn(formula('share A < 5 %')).filter((one) => one.code === 'expectation-fails');
    expect(found!.problem).toBe('This does not hold: A is 5.00 % of the formula.');
    expect(found!.marked).toBe('expect share A < 5 %');
  });

  it('is open while no card shows the formula as it is now', () => {
    const text = formula('sprayout worst <= 1 dE00').replace(
      '  toner A 5\n  toner B 95\n  expect',
      '  toner A 6\n  toner B 95\n  expect',
    );
    expect(findingsFor(text, 'expectation-open', 'expectation-fails').map((one) => one.code)).toEqual([
      'expectation-open',
    ]);
  });

  it('of a prediction stays open while no card tells of the toners', () => {
    expect(verdict('coats <= 3')).toBe('open');
    expect(verdict('grey = N5')).toBe('open');
    expect(verdict('predicted worst <= 1 dE00')).toBe('open');
  });
});
