import { describe, expect, it } from 'vitest';
import { directionByZone, directionPhrase, directions } from '../../../server/colour/direction.ts';
import { parseGeometry } from '../../../server/colour/geometry.ts';
import type { Lab } from '../../../server/colour/lab.ts';

const words = (standard: Lab, sample: Lab) => directions(standard, sample).map((d) => d.word);

describe('direction in trade words', () => {
  const red: Lab = [45, 50, 25];
  const blue: Lab = [40, -5, -45];
  const grey: Lab = [60, 0.5, -1];

  it.each<[string, Lab, Lab, string[]]>([
    ['a grey that turned blue', grey, [60, 0.5, -3], ['bluer']],
    ['a grey that turned green', grey, [60, -2, -1], ['greener']],
    ['a darker grey', grey, [57, 0.5, -1], ['darker']],
    ['a red turned towards orange', red, [45, 47, 30], ['yellower']],
    ['a red turned towards purple', red, [45, 52.5, 19], ['bluer']],
    ['a blue turned towards purple', blue, [40, 0, -45], ['redder']],
    ['an orange turned towards red', [60, 40, 50], [60, 47, 43.5], ['redder']],
    ['an orange turned towards yellow', [60, 40, 50], [60, 33, 55], ['yellower']],
    ['a yellow turned towards green', [80, 0, 80], [80, -9, 79.5], ['greener']],
    ['a green turned towards yellow', [50, -45, 15], [50, -42, 22], ['yellower']],
    ['a purple turned towards blue', [35, 35, -35], [35, 30, -39.4], ['bluer']],
    ['a red with less chroma and lightness', red, [43, 42, 21], ['dirtier', 'darker']],
    ['a red with more chroma', red, [45, 57, 28.5], ['cleaner']],
  ])('%s', (_, standard, sample, expected) => {
    expect(words(standard, sample)).toEqual(expected);
  });

  it('calls a red let down with white lighter, not dirtier', () => {
    expect(words(red, [55, 44, 22])).toEqual(['lighter']);
  });

  it('calls a red gone much darker with a little more chroma darker, not cleaner', () => {
    expect(words(red, [38, 53, 26.5])).toEqual(['darker']);
  });

  it('is turned round when standard and sample change places', () => {
    expect(words(grey, [57, 0.5, -3])).toEqual(['darker', 'bluer']);
    expect(words([57, 0.5, -3], grey)).toEqual(['lighter', 'yellower']);
  });

  it('says how much, and nothing of what no instrument would tell', () => {
    expect(directionPhrase(grey, [59.2, 0.5, -1])).toBe('a little darker');
    expect(directionPhrase(grey, [50, 0.5, -1])).toBe('much darker');
    expect(directionPhrase(grey, [60.1, 0.5, -1.1])).toBe('no clear direction');
    expect(directionPhrase([0, 0, 0], [0, 0, 0])).toBe('no clear direction');
  });

  it('tells face, body and flop in one phrase', () => {
    const at = (geometry: string, sample: Lab) => ({ geometry: parseGeometry(geometry), standard: grey, sample });
    expect(directionByZone([at('45as15', [63, 0.5, -1]), at('45as45', grey), at('45as110', [57, 0.5, -3])])).toBe(
      'lighter on the face; darker, bluer on the flop',
    );
    expect(directionByZone([at('45as15', [57, 0.5, -1]), at('45as45', [57, 0.5, -1])])).toBe('darker at all angles');
    expect(directionByZone([at('d/8', [57, 0.5, -1])])).toBe('darker');
    expect(directionByZone([])).toBe('no clear direction');
  });
});
