import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { screenColour } from '../../../server/colour/screen.ts';

describe('a screen colour', () => {
  it.each([
    [[100, 0, 0], 'D65', '#ffffff', false],
    [[100, 0, 0], 'D50', '#ffffff', false],
    [[100, 0, 0], 'A', '#ffffff', false],
    [[0, 0, 0], 'D65', '#000000', false],
    [[53.2371, 80.0901, 67.2033], 'D65', '#ff0000', false],
    [[130, 0, 0], 'D65', '#ffffff', true],
    [[50, 120, -120], 'D65', expect.any(String), true],
  ] as const)('of %j under %s', (lab, illuminant, hex, outOfGamut) => {
    expect(screenColour(lab, illuminant)).toEqual({ hex, outOfGamut });
  });

  it('is always one that a screen can show', () => {
    const axis = fc.double({ min: -200, max: 200, noNaN: true });
    fc.assert(
      fc.property(
        fc.double({ min: -20, max: 300, noNaN: true }),
        axis,
        axis,
        fc.constantFrom('D65', 'D50', 'F11'),
        (L, a, b, light) => {
          expect(screenColour([L, a, b], light).hex).toMatch(/^#[0-9a-f]{6}$/);
        },
      ),
    );
  });
});
