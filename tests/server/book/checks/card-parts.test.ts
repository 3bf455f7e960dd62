import { describe, expect, it } from 'vitest';
import { findingsFor, fixedBy } from '../marked.ts';

const FORMULA = 'toner A "a"\ntoner B "b"\nformula F "f"\n  toner A 41.2\n  toner B 1.25\n';

describe('card-loose', () => {
  it('marks a card that keeps no parts, and freezes those of the formula above what was read', () => {
    const card = 'sprayout C of F\n  sprayed 2026-10-02 by RO\n  film 18 um in 3 coats\n  lab 45as15 60 1 2\n';
    expect(findingsFor(FORMULA + card, 'card-loose')).toEqual([{ code: 'card-loose', marked: 'C' }]);
    const fixed = fixedBy(FORMULA + card, 'card-loose');
    expect(fixed).toBe(
      `${FORMULA}sprayout C of F\n  sprayed 2026-10-02 by RO\n  film 18 um in 3 coats\n  toner A 41.20\n  toner B 1.25\n  lab 45as15 60 1 2\n`,
    );
    expect(findingsFor(fixed, 'card-loose', 'card-earlier')).toEqual([]);
  });

  it('freezes a variant with its own parts, and coats by their names', () => {
    const pearl =
      'formula P "p"\n  coat ground\n  toner A 90\n  coat mid coats 2\n  toner B 10\nvariant P/d "d"\n  toner B +2.5\n';
    const fixed = fixedBy(`${FORMULA}${pearl}sprayout C of P/d\n`, 'card-loose');
    expect(fixed).toContain('sprayout C of P/d\n  coat ground\n  toner A 90.00\n  coat mid coats 2\n  toner B 12.50\n');
    expect(findingsFor(fixed, 'card-loose', 'card-earlier')).toEqual([]);
  });

  it('keeps the line ends of the file', () => {
    const fixed = fixedBy(`${FORMULA}sprayout C of F\n`.replaceAll('\n', '\r\n'), 'card-loose');
    expect(fixed).toContain('sprayout C of F\r\n  toner A 41.20\r\n  toner B 1.25\r\n');
  });

  it('is content with a batch', () => {
    expect(
      findingsFor(`${FORMULA}sprayout C of F\n  from batch B\nbatch B of F\n  poured A 1 g\n`, 'card-loose'),
    ).toEqual([]);
  });

  it('is told of a drawdown, too, which has no formula to freeze', () => {
    expect(findingsFor('drawdown D "d"\n', 'card-loose')).toHaveLength(1);
    expect(() => fixedBy('drawdown D "d"\n', 'card-loose')).toThrow();
  });
});

describe('card-earlier', () => {
  it('marks a card whose parts are no longer those of the formula', () => {
    const card = (parts: string) => `${FORMULA}sprayout C of F\n  toner A 41.2\n  toner B ${parts}\n`;
    expect(findingsFor(card('1.25'), 'card-earlier')).toEqual([]);
    expect(findingsFor(card('1.26'), 'card-earlier')).toEqual([{ code: 'card-earlier', marked: 'F' }]);
  });

  it('goes by ratios, so a card in grams of the same paint is current', () => {
    expect(findingsFor(`${FORMULA}sprayout C of F\n  toner A 82.4\n  toner B 2.5\n`, 'card-earlier')).toEqual([]);
  });

  it('takes a cup for the formula within what the scale shows and the shop accepts', () => {
    const cup = (grams: string) =>
      `${FORMULA}sprayout C of F\n  from batch B\nbatch B of F\n  poured A 77.6 g\n  poured B ${grams} g\n`;
    expect(findingsFor(cup('2.4'), 'card-earlier')).toEqual([]);
    expect(findingsFor(cup('4.4'), 'card-earlier')).toHaveLength(1);
  });
});
