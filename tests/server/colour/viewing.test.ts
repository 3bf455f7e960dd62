import { describe, expect, it } from 'vitest';
import { ILLUMINANTS, relativePowers } from '../../../server/colour/illuminants.ts';
import { OBSERVERS } from '../../../server/colour/observers.ts';
import { parseViewing, viewing, viewingText } from '../../../server/colour/viewing.ts';

describe('a viewing', () => {
  it('is read and written back for every illuminant and observer', () => {
    for (const illuminant of ILLUMINANTS)
      for (const observer of OBSERVERS) {
        const text = viewingText(viewing(illuminant, observer));
        expect(viewingText(parseViewing(text))).toBe(text);
      }
  });

  it("takes the CIE's own names of the lamps, and small letters", () => {
    expect(parseViewing('FL11/10')).toEqual({ illuminant: 'F11', observer: '10' });
    expect(parseViewing('d65/2')).toEqual({ illuminant: 'D65', observer: '2' });
  });

  it.each([
    ['D65', 'write D65/10 or D65/2'],
    ['D66/10', 'one of D50, D55, D65'],
    ['D65/7', 'write 10'],
    ['toString/10', 'is not an illuminant'],
    ['', 'write D65/10'],
  ])('%j is refused, saying what to write', (text, message) => {
    expect(() => parseViewing(text)).toThrow(message);
  });
});

it('every illuminant has the range and the sense of its table', () => {
  for (const illuminant of ILLUMINANTS) {
    const powers = relativePowers(illuminant);
    expect(powers).toHaveLength(421);
    expect(Math.min(...powers)).toBeGreaterThan(-0.5);
    expect(Math.max(...powers)).toBeGreaterThan(1);
  }
  expect(relativePowers('D65')[200]).toBe(100);
  expect(relativePowers('D50')[200]).toBeCloseTo(100, 6);
  expect(relativePowers('F11')[10]).toBe(0);
});
