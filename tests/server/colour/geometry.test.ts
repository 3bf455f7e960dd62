import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  aspecularAngle,
  describeGeometry,
  detectorAngle,
  geometryText,
  parseGeometry,
  zoneOf,
} from '../../../server/colour/geometry.ts';

describe('a geometry', () => {
  it.each(['45as15', '45as-15', '15as-15', '45/0', '0/45', 'd/8', '8/d'])('%s is read and written back', (text) => {
    expect(geometryText(parseGeometry(text))).toBe(text);
  });

  it('is the same after any aspecular angle is written and read', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 89 }), fc.integer({ min: -89, max: 89 }), (illumination, detector) => {
        const text = `${illumination}as${illumination + detector}`;
        expect(detectorAngle(parseGeometry(text))).toBe(detector);
        expect(geometryText(parseGeometry(text))).toBe(text);
      }),
    );
  });

  it.each(['', '45', '45as', 'as15', '45as15x', '91as15', '45as190', 'd/95', '45/95', '-45/0', '45AS15'])(
    '%j is refused, showing what to write',
    (text) => {
      expect(() => parseGeometry(text)).toThrow(/write 45as15/);
    },
  );

  it.each([
    ['45as15', 'face'],
    ['45as-15', 'face'],
    ['45as25', 'face'],
    ['45as45', 'body'],
    ['45/0', 'body'],
    ['d/8', 'body'],
    ['45as75', 'flop'],
    ['45as110', 'flop'],
  ])('%s shows the %s', (text, zone) => {
    expect(zoneOf(parseGeometry(text))).toBe(zone);
  });

  it('is told in words', () => {
    expect(describeGeometry(parseGeometry('45as15'))).toBe(
      'lit at 45°, seen 15° from the gloss towards the light (detector at -30°)',
    );
    expect(describeGeometry(parseGeometry('45as-15'))).toContain('away from the light (detector at -60°)');
    expect(describeGeometry(parseGeometry('d/8'))).toContain('sphere');
    expect(aspecularAngle(parseGeometry('45/0'))).toBe(45);
    expect(aspecularAngle(parseGeometry('d/8'))).toBeUndefined();
  });
});
