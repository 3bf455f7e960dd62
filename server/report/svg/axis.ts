/** Round figures along the axis of a chart. */

export const fixed = (value: number): string => Number(value.toFixed(1)).toString();

/** What an axis covers, and the step between its lines. */
export interface Axis {
  readonly from: number;
  readonly to: number;
  readonly step: number;
}

/** A little more than the values cover, and never less than a unit. */
export function span(values: readonly number[]): { readonly from: number; readonly to: number } {
  if (values.length === 0) return { from: -0.5, to: 0.5 };
  const [least, most] = [Math.min(...values), Math.max(...values)];
  const margin = Math.max((most - least) * 0.12, (1 - (most - least)) / 2, 0.1);
  return { from: least - margin, to: most + margin };
}

/** The least of 1, 2, 5 and their tens that is not below this. */
export function roundStep(least: number): number {
  const ten = 10 ** Math.floor(Math.log10(least));
  return [1, 2, 5, 10].map((one) => one * ten).find((one) => one >= least * 0.999) ?? 10 * ten;
}

/** The multiples of the step on the axis, with their figures. */
export function ticks({ from, to, step }: Axis): { readonly value: number; readonly words: string }[] {
  const first = Math.ceil(from / step);
  const count = Math.floor(to / step) - first + 1;
  return Array.from({ length: Math.max(0, count) }, (_, i) => {
    const value = (first + i) * step;
    const words = value
      .toFixed(step < 1 ? 1 : 0)
      .replace(/^-(?=.*[1-9])/, '\u2212')
      .replace(/^-/, '');
    return { value, words };
  });
}
