import { describe, expect, it } from 'vitest';
import { verdict } from '../../../server/colour/verdict.ts';

const usual = { edge: 1, blend: 2, hidden: 4 };
const at = (geometry: string, difference: number, tolerances = usual) => ({ geometry, difference, tolerances });

describe('a verdict', () => {
  it.each([
    [0.4, 'holds edge to edge'],
    [1, 'holds edge to edge'],
    [1.1, 'blend'],
    [2.5, 'tint first'],
    [4.01, 'not near'],
  ])('of %f is %s', (difference, word) => {
    expect(verdict([at('45as45', difference)])?.word).toBe(word);
  });

  it('is decided by the worst angle against its own tolerance, not by the largest figure', () => {
    const near = at('45as15', 2.4, { edge: 3, blend: 4, hidden: 6 });
    const far = at('45as110', 1.6);
    expect(verdict([near, far])).toMatchObject({ word: 'blend', worst: '45as110' });
    expect(verdict([near, at('45as110', 0.5)])).toMatchObject({ word: 'holds edge to edge', worst: '45as15' });
  });

  it('is a sentence with the angle and the limits', () => {
    expect(verdict([at('45as45', 1.3)])?.sentence).toBe(
      'Blend: 45as45 is off by 1.3, more than edge to edge allows (1.0), within blending (2.0).',
    );
    expect(verdict([at('45as45', 1.02)])?.sentence).toContain('off by 1.02');
  });

  it('is not given when no angle was measured', () => {
    expect(verdict([])).toBeUndefined();
  });
});
