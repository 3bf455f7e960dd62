import { describe, expect, it } from 'vitest';
import { findingsFor, foundIn } from '../marked.ts';

const book = (standard: string[], card: string[], settings = 'tolerance 1.0 dE00') => `book "b"
  ${settings}
reading R "r"
${standard.map((line) => `  ${line}\n`).join('')}formula F "f"
  standard R
  toner A 1
sprayout C of F
  toner A 1
${card.map((line) => `  ${line}\n`).join('')}`;

describe('card-unlike', () => {
  const unlike = (standard: string[], card: string[]) => {
    const lab = 'lab 45as15 50 0 0';
    return foundIn(book([...standard, lab], [...card, lab])).filter((one) => one.code === 'card-unlike');
  };

  it('marks unlike surfaces and instruments', () => {
    expect(unlike(['surface cleared'], ['surface uncleared'])[0]!.problem).toContain('cleared');
    expect(unlike(['surface cleared polished'], ['surface cleared unpolished'])).toHaveLength(1);
    expect(unlike(['taken 2026-10-01 with I'], ['measured 2026-10-01 with J'])[0]!.problem).toContain(
      'the standard was read with I, the card with J',
    );
  });

  it('holds nothing against what is alike or not stated', () => {
    expect(unlike(['surface cleared'], ['surface cleared'])).toEqual([]);
    expect(unlike(['surface cleared polished'], [])).toEqual([]);
  });

  it('marks angles that the card lacks', () => {
    const one = ['lab 45as15 50 0 0'];
    const two = [...one, 'lab 45as45 40 0 0'];
    expect(foundIn(book(two, one)).find((found) => found.code === 'card-unlike')!.problem).toContain(
      '45as45 of the standard was not read on the card',
    );
    expect(findingsFor(book(one, two), 'card-unlike')).toEqual([]);
    expect(findingsFor(book(['lab 45/0 50 0 0'], one), 'card-unlike')).toHaveLength(1);
  });
});

describe('difference-above', () => {
  // Pair 25 of the published CIEDE2000 pairs (Sharma, Wu, Dalal 2005): 1.2644.
  const standard = 'lab 45as15 60.2574 -34.0099 36.2677';
  const sample = 'lab 45as15 60.4626 -34.1751 39.4387';

  it('names the worst angle with its difference', () => {
    const [found] = foundIn(book([standard], [sample])).filter((one) => one.code === 'difference-above');
    expect(found!.marked).toBe('C');
    expect(found!.problem).toMatch(
      /^At 45as15 this card is off by 1\.3, .*(yellower|cleaner).*, more than the 1 that the book allows\.$/,
    );
  });

  it('goes by the tolerance of the angle', () => {
    const at = (settings: string) => findingsFor(book([standard], [sample], settings), 'difference-above');
    expect(at('tolerance 1.2645 dE00')).toEqual([]);
    expect(at('tolerance 1.26 dE00')).toHaveLength(1);
    expect(at('tolerance 1.0 dE00\n  tolerance 45as15 1.5 dE00')).toEqual([]);
  });

  it('judges the newest card that shows the formula as it is now, and no other', () => {
    const near = `sprayout D of F\n  sprayed 2026-10-02\n  toner A 1\n  ${standard}\n`;
    expect(findingsFor(book([standard], ['sprayed 2026-10-01', sample]) + near, 'difference-above')).toEqual([]);
    const earlier = book([standard], ['toner B 1', sample]);
    expect(findingsFor(earlier, 'difference-above')).toEqual([]);
  });

  it('names the other angles, too', () => {
    const text = book(['lab 45as15 50 0 0', 'lab 45as110 30 0 0'], ['lab 45as15 52 0 0', 'lab 45as110 35 0 0']);
    const [found] = foundIn(text).filter((one) => one.code === 'difference-above');
    expect(found!.problem).toMatch(/^At 45as110 .*lighter.*; also 45as15 by \d\.\d\.$/);
  });
});
