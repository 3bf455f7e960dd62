/** From what stands in the text to what it means: exact numbers, quantities, times. */

import { type Line, type Span, text, type Value, value } from '../../../grammar/tree.ts';
import type { Quantity } from '../../exact/quantity.ts';
import { toBase } from '../../exact/quantity.ts';
import { type Rational, rational } from '../../exact/rational.ts';
import { type Dimension, isMetric, unit } from '../../exact/units.ts';

/** A value with the place in its entry where it was written. */
export interface Written<T> {
  readonly is: T;
  readonly at: Span;
}

const NUMBER = /^[+-]?\d+(\.\d+)?$/;

/** An exact number; undefined when none stands there. Absurdly long digit strings are refused, since nothing is weighed by them. */
export function exact(found: Value | undefined): Rational | undefined {
  if (!found || found.text.length > 40) return undefined;
  return known.get(found.text) ?? (NUMBER.test(found.text) ? keep(found.text, rational(found.text)) : undefined);
}

const MOST_KNOWN = 20_000;
/** A book says the same amounts over and over. */
const known = new Map<string, Rational>();

function keep(text: string, number: Rational): Rational {
  if (known.size >= MOST_KNOWN) known.clear();
  known.set(text, number);
  return number;
}

export function quantityIn(
  line: Line | undefined,
  place: string,
  ...dimensions: readonly Dimension[]
): Quantity | undefined {
  const found = value(line, place);
  const number = exact(found);
  const by = found?.unit === undefined ? undefined : unit(found.unit);
  if (!number || !by || (dimensions.length > 0 && !dimensions.includes(by.dimension))) return undefined;
  return { value: number, unit: by };
}

/** In the base unit of the dimension: g, ml, um, m2, s, a share of 1, g/ml. */
export function baseIn(line: Line | undefined, place: string, dimension: Dimension): Rational | undefined {
  const found = quantityIn(line, place, dimension);
  return found && toBase(found);
}

/** The step of a scale, g; one that counts in pounds or ounces shows no grams, so its step is none of theirs. */
export function stepIn(line: Line | undefined, place: string): Rational | undefined {
  const found = quantityIn(line, place, 'mass');
  return found && isMetric(found.unit) && found.value.gt(0) ? toBase(found) : undefined;
}

export function numberIn(line: Line | undefined, place: string): number | undefined {
  const found = value(line, place);
  return found && NUMBER.test(found.text) ? Number(found.text) : undefined;
}

export function written(line: Line | undefined, place: string): Written<string> | undefined {
  const found = value(line, place);
  return found && { is: found.text, at: { from: found.from, to: found.to } };
}

export { text };

/** A grey as it is written: a Munsell neutral value or an L*. */
export type Grey = { readonly scale: 'N' | 'L*'; readonly value: number; readonly text: string };

export function greyIn(line: Line | undefined, place = 'grey'): Grey | undefined {
  const found = text(line, place);
  return found === undefined ? undefined : greyNamed(found);
}

/** Reads `N5`, `N6.5` or `L* 51`. */
export function greyNamed(found: string): Grey | undefined {
  const [, scale, number] = /^(N|L\*)\s*([\d.]+)$/.exec(found) ?? [];
  if (number === undefined || !NUMBER.test(number)) return undefined;
  return { scale: scale as 'N' | 'L*', value: Number(number), text: found };
}

/** Whether there is such a grey: Munsell values run from 0 to 10, L* from 0 to 100. */
export const isOnScale = ({ scale, value }: Grey): boolean => value >= 0 && value <= (scale === 'N' ? 10 : 100);
