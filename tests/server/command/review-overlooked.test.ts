/** What a reviewer must not overlook, each made in a repository of its own. */
import { describe, expect, it } from 'vitest';
import { replaced, reviewed } from './reviewed.ts';
import { book, card, greyDifference } from './small-book.ts';

const REST = book()['rest.pour']!;
const EXPECT = '  expect sprayout worst <= 1.0 dE00\n';
const edited = (...pairs: readonly (readonly [string, string])[]): string =>
  pairs.reduce((text, [from, to]) => replaced(text, from, to), REST);

describe('what an expectation is held against', () => {
  it('taken out is called out, be it the line of the standard or the standard itself', async () => {
    for (const [from, to, told] of [
      ['  standard DOOR\n', '', 'the formula has no standard'],
      ['reading DOOR "Door"\n  surface cleared polished\n  lab 45/0 50 0 0\n', '', 'the formula has no standard'],
      ['lab 45/0 50 0 0', 'lab 45as15 50 0 0', 'card and standard have no angle in common under D65/10'],
    ] as const) {
      const { of, out, failsOn } = await reviewed(book(), { 'rest.pour': edited([from, to]) });
      expect(of('GUL-2').expectations).toMatchObject([{ before: 'holds', after: 'open' }]);
      expect(out('GUL-2')['expectation left open']).toBe(
        `"sprayout worst <= 1.0 dE00" held and can be held against nothing any more: ${told}.`,
      );
      expect(await failsOn('broken')).toBe(true);
    }
  });

  it('the card, the target weight, a price: taken out they are called out', async () => {
    const shown = card('C-1', '10', '50.4', '2026-09-09');
    const none = await reviewed(book(), { 'rest.pour': edited([shown, '']) });
    expect(none.out('GUL-2')['expectation left open']).toContain('no card shows the formula as it is now');
    const stated = (text: string) => edited([EXPECT, `  expect ${text}\n`]);
    for (const [text, from] of [
      ['pour BLK-1 >= 2 g', '  target weight 200 g as poured\n'],
      ['cost <= 30 EUR/kg', '  price 40 EUR/kg\n'],
    ] as const) {
      const before = { ...book(), 'rest.pour': stated(text) };
      const [name] = Object.entries(before).find(([, all]) => all.includes(from))!;
      const after = { [name]: replaced(before[name as keyof typeof before]!, from, '') };
      expect((await reviewed(before, after)).out('GUL-2')['expectation left open'], text).toContain(`"${text}" held`);
    }
  });

  it('another paint that no card shows yet only waits for its card', async () => {
    const { out } = await reviewed(book(), { 'rest.pour': edited(['BLK-1 10\n  expect', 'BLK-1 12\n  expect']) });
    expect(Object.keys(out('GUL-2'))).toEqual(['approval is of the earlier paint']);
  });

  it('a standard that a card was held against is called out without an expectation, too', async () => {
    const before = { ...book(), 'rest.pour': edited([EXPECT, '']) };
    const { out } = await reviewed(before, { 'rest.pour': replaced(before['rest.pour'], '  standard DOOR\n', '') });
    expect(out('GUL-2')['standard taken out']).toMatch(
      /^Nothing says any more what it has to look like: it was held against DOOR\. \S/,
    );
  });
});

describe('an expectation that was written otherwise', () => {
  const off = card('C-2', '10', '53', '2026-10-01');
  const figure = greyDifference(53).toFixed(2);

  it('so that it holds is called out with what it was, whether it failed before or the card is new', async () => {
    const looser = edited([EXPECT, EXPECT.replace('1.0', '4.0')]);
    for (const before of [book(off), book()]) {
      const { of, out, failsOn, written } = await reviewed(before, { 'rest.pour': `${looser}\n${off}` });
      expect(of('GUL-2').expectations).toMatchObject([{ was: 'sprayout worst <= 1.0 dE00', after: 'holds' }]);
      expect(out('GUL-2')).toEqual({
        'expectation loosened': `"sprayout worst <= 4.0 dE00" holds only because it was loosened: by "sprayout worst <= 1.0 dE00" it would not. It finds: card C-2 is off by ${figure} dE00 at 45/0.`,
      });
      expect(await failsOn('broken')).toBe(true);
      expect(await written('text')).toContain(
        'Expectation "sprayout worst <= 1.0 dE00" → "sprayout worst <= 4.0 dE00": ',
      );
    }
  });

  it('or taken out in the same change that breaks it', async () => {
    const { out } = await reviewed(book(), { 'rest.pour': `${edited([EXPECT, ''])}\n${off}` });
    expect(out('GUL-2')['expectation dropped']).toBe(
      `It no longer states "sprayout worst <= 1.0 dE00", which would not hold. It finds: card C-2 is off by ${figure} dE00 at 45/0.`,
    );
  });

  it('is not called out where it held and holds: looser, tighter or taken out', async () => {
    for (const to of [EXPECT.replace('1.0', '2.0'), EXPECT.replace('1.0', '0.8'), ''])
      expect((await reviewed(book(), { 'rest.pour': edited([EXPECT, to]) })).out('GUL-2'), to).toEqual({});
  });

  it('nor one that failed and is taken out once it holds', async () => {
    const mended = card('C-3', '10', '50.2', '2026-11-01');
    const { out } = await reviewed(book(off), { 'rest.pour': `${edited([EXPECT, ''])}\n${off}\n${mended}` });
    expect(out('GUL-2')).toEqual({});
  });

  it('a tighter one that does not hold fails, and was never said before', async () => {
    const { out } = await reviewed(book(), { 'rest.pour': edited([EXPECT, EXPECT.replace('1.0', '0.2')]) });
    expect(out('GUL-2')['expectation fails']).toMatch(/^"sprayout worst <= 0\.2 dE00" does not hold\. It finds/);
  });
});
