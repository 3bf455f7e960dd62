/** The main light of the book is changed: what was read as Lab cannot be told under another light, what was read as a spectrum can. */
import { expect, it } from 'vitest';
import { difference } from '../../../server/colour/difference.ts';
import { labOfSpectrum } from '../../../server/colour/lab.ts';
import { replaced, reviewed } from './reviewed.ts';
import { book, SHOP } from './small-book.ts';

const REST = book()['rest.pour']!;
const A_LIGHT = SHOP.replace('D65/10', 'A/10 D65/10');
const ramp = (from: number, step: number) => Array.from({ length: 31 }, (_, n) => Number((from + step * n).toFixed(4)));
const DOOR = ramp(0.1, 0.006);
// Redder at the long end, where illuminant A is strong and daylight is not.
const CARD = DOOR.map((value, n) => Number((value + (n > 20 ? 0.03 : 0)).toFixed(4)));
const spectrum = (values: readonly number[]) => `  spectrum 45/0 400..700/10 ${values.join(' ')}\n`;
const withSpectra = replaced(
  replaced(REST, '  lab 45/0 50 0 0\n', spectrum(DOOR)),
  '  lab 45/0 50.4 0 0\n',
  spectrum(CARD),
);

it('a Lab is not compared under another light, and not taken for one of it', async () => {
  const { of, out, review, written } = await reviewed(book(), { 'book.pour': A_LIGHT });
  const own = of('GUL-2');
  const why = 'DOOR and card C-1 were read as Lab under D65/10 and have no spectrum that tells the colour under A/10';
  expect(own.light).toEqual({ before: 'D65/10', after: 'A/10', cannot: why });
  expect(own.againstStandard.before).not.toBeNull();
  expect(own.againstStandard.after).toBeNull();
  expect(out('GUL-2')).toEqual({
    'expectation left open': `"sprayout worst <= 1.0 dE00" held and can be held against nothing any more: ${why}.`,
  });
  expect(await written('text')).toContain(`→ cannot be compared under A/10: ${why}`);
  expect(review.notes[1]).toContain(
    '2 readings and cards have lab lines that name no light: they were read under D65/10',
  );
});

it('a Lab beside a spectrum is not compared either', async () => {
  const mixed = replaced(REST, '  lab 45/0 50.4 0 0\n', spectrum(CARD));
  const { of } = await reviewed({ ...book(), 'rest.pour': mixed }, { 'book.pour': A_LIGHT });
  expect(of('GUL-2').againstStandard.after).toBeNull();
  expect(of('GUL-2').light!.cannot).toMatch(/^DOOR was read as Lab under D65\/10 and has no spectrum/);
});

it('spectra are told under the new light, and both lights are named', async () => {
  const { of, written, review } = await reviewed({ ...book(), 'rest.pour': withSpectra }, { 'book.pour': A_LIGHT });
  const under = (illuminant: 'A' | 'D65') => {
    const lab = (values: readonly number[]) =>
      labOfSpectrum({ start: 400, step: 10, values: Float64Array.from(values) }, illuminant, '10');
    return difference('dE00', lab(DOOR), lab(CARD));
  };
  const { before, after } = of('GUL-2').againstStandard;
  expect(before!.worst.dE00).toBeCloseTo(under('D65'), 3);
  expect(after!.worst.dE00).toBeCloseTo(under('A'), 3);
  expect(Math.abs(under('A') - under('D65'))).toBeGreaterThan(0.1);
  expect(of('GUL-2').light!.cannot).toBeNull();
  expect(await written('text')).toMatch(/\(card C-1\) under D65\/10 → DOOR by .* under A\/10/);
  expect(review.notes.join()).not.toContain('name no light');
});

it('lines that name their light with the change are read as they say, and new ones as the book says', async () => {
  const named = REST.replaceAll('lab 45/0 50', 'lab 45/0 D65/10 50');
  const told = await reviewed(book(), { 'book.pour': A_LIGHT, 'rest.pour': named });
  expect(told.of('GUL-2').againstStandard.after).toBeNull();
  expect(told.review.notes.join()).not.toContain('name no light');
  const anew = REST.replace('lab 45/0 50 0 0', 'lab 45/0 51 1 2').replace('lab 45/0 50.4 0 0', 'lab 45/0 51.8 1 2');
  const read = await reviewed(book(), { 'book.pour': A_LIGHT, 'rest.pour': anew });
  expect(read.of('GUL-2').againstStandard.after!.worst.dE00).toBeCloseTo(
    difference('dE00', [51, 1, 2], [51.8, 1, 2]),
    3,
  );
  expect(read.of('GUL-2').light!.cannot).toBeNull();
});

it('other lights to test metamerism under change nothing of it', async () => {
  const { review } = await reviewed(book(), { 'book.pour': SHOP.replace('D65/10', 'D65/10 A/10') });
  expect(review.formulas).toEqual([]);
});
