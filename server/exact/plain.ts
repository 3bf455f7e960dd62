import { decimal, type Rational } from './rational.ts';

/** A number without trailing zeros, as a person writes it. */
export function plainDecimal(value: Rational): string {
  const text = decimal(value, 6);
  return text.includes('.') ? text.replace(/\.?0+$/, '') : text;
}
