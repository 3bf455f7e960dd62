/** Two spectra that are one colour under D65/10 and two under other lights: the second is the first and a metameric black. */
import { weightsFor } from '../../../server/colour/lab.ts';
import type { Spectrum } from '../../../server/colour/spectrum.ts';

const grid = { start: 400, step: 10 };
const COUNT = 31;

export const standardSpectrum: Spectrum = {
  ...grid,
  values: Float64Array.from({ length: COUNT }, (_, i) => 0.25 + 0.15 * Math.sin(i / 5)),
};

/** `size`: how much of the black; 0.6 moves the colour under A by 2.1 dE00, under F11 by 1.8. */
export function metamerOf(size: number): Spectrum {
  const bump = Array.from({ length: COUNT }, (_, i) => Math.cos(i * 0.35));
  const { values } = weightsFor(standardSpectrum, 'D65', '10');
  const axes: number[][] = [];
  for (const c of [0, 1, 2]) {
    const column = Array.from({ length: COUNT }, (_, i) => values[i * 3 + c]!);
    axes.push(unit(axes.reduce(without, column)));
  }
  const black = axes.reduce(without, bump);
  return { ...grid, values: standardSpectrum.values.map((value, i) => value + 0.1 * size * black[i]!) };
}

const dot = (a: readonly number[], b: readonly number[]): number => a.reduce((sum, x, i) => sum + x * b[i]!, 0);
const unit = (a: readonly number[]): number[] => a.map((x) => x / Math.sqrt(dot(a, a)));
/** What is left of a vector when its part along a unit axis is taken away. */
const without = (a: number[], axis: readonly number[]): number[] => {
  const along = dot(a, axis);
  return a.map((x, i) => x - along * axis[i]!);
};

/** A spectrum line of the book. */
export const spectrumLine = (geometry: string, { values }: Spectrum, take = ''): string =>
  `spectrum ${geometry} ${take} 400..700/10 ${[...values].map((value) => value.toFixed(7)).join(' ')}`;
