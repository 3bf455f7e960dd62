import { expect, it } from 'vitest';
import { labFigures, plusMinusFigure } from '../../../server/answers/number.ts';

it('writes a ± of the exact figure as that of the figure in JSON, never as none, and not beyond what means something', () => {
  expect(plusMinusFigure(0.1503)).toBe(plusMinusFigure(0.15));
  expect([0, 0.004, 0.16, 2.31].map(plusMinusFigure)).toEqual(['0.1', '0.1', '0.2', '2.3']);
  expect(plusMinusFigure(20.4)).toBe('over 20');
});

it('writes no minus before nothing', () => {
  expect(labFigures([1.6, -0.04, -0.06], 1)).toEqual(['1.6', '0.0', '-0.1']);
  expect(labFigures([50, -0.4, -10.2], 0)).toEqual(['50', '0', '-10']);
});
