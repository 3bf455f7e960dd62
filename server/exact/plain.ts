import { decimal, type Rational } from './rational.ts';

/** A book says the same amounts over and over, and they are written out as often. */
const known = new WeakMap<Rational, string>();

/** A number without trailing zeros, as a person writes it. */
export function plainDecimal(value: Rational): string {
  let text = known.get(value);
  if (text === undefined) {
    text = decimal(value, 6).replace(/\.?0+$/, '');
    known.set(value, text);
  }
  return text;
}
