import { decimal, type Rational, zero } from './rational.ts';
import { type Dimension, type Unit, unit } from './units.ts';

/** A number with its unit, as it was written. */
export interface Quantity {
  readonly value: Rational;
  readonly unit: Unit;
}

/** The value in the dimension's base unit: g, ml, um, m2, C, s, a share of 1, g/ml, money per ml or g. */
export function toBase(quantity: Quantity): Rational {
  return quantity.value.mul(quantity.unit.factor);
}

/** A value given in base units, said in the unit wanted. */
export function fromBase(value: Rational, wanted: Unit): Quantity {
  return { value: value.div(wanted.factor), unit: wanted };
}

/** Whether one unit can be said in the other without a density or an exchange rate. */
export function convertible(a: Unit, b: Unit): boolean {
  const differenceFormulas = a.dimension === 'colour difference' && a.symbol !== b.symbol;
  return a.dimension === b.dimension && a.currency === b.currency && !differenceFormulas;
}

/**
 * The same quantity in another unit of its dimension. Between mass and volume, give the density in g/ml.
 * @throws RangeError when the units have nothing to do with each other, or a density is missing.
 */
export function convert(quantity: Quantity, wanted: Unit, density?: Rational): Quantity {
  if (convertible(quantity.unit, wanted)) return fromBase(toBase(quantity), wanted);
  const direction = `${quantity.unit.dimension} to ${wanted.dimension}`;
  if (direction === 'mass to volume') return fromBase(volumeOf(toBase(quantity), known(density)), wanted);
  if (direction === 'volume to mass') return fromBase(massOf(toBase(quantity), known(density)), wanted);
  throw new RangeError(`${quantity.unit.symbol} cannot be said in ${wanted.symbol}`);
}

function known(density: Rational | undefined): Rational {
  if (!density) throw new RangeError('between mass and volume a density is needed');
  return density;
}

/** Millilitres of so many grams at a density in g/ml. */
export function volumeOf(grams: Rational, density: Rational): Rational {
  return grams.div(positive(density));
}

/** Grams of so many millilitres at a density in g/ml. */
export function massOf(millilitres: Rational, density: Rational): Rational {
  return millilitres.mul(positive(density));
}

function positive(density: Rational): Rational {
  if (density.lte(zero)) throw new RangeError('a density must be above zero');
  return density;
}

/** '80.0 g': the value with so many decimals, half away from zero, and its unit. */
export function format(quantity: Quantity, places: number): string {
  return `${decimal(quantity.value, places)} ${quantity.unit.symbol}`;
}

/** A quantity from a value and a unit's symbol. @throws RangeError for a symbol that names no unit. */
export function quantity(value: Rational, symbol: string): Quantity {
  const found = unit(symbol);
  if (!found) throw new RangeError(`'${symbol}' is not a unit`);
  return { value, unit: found };
}

/** Whether a quantity can stand where one of these dimensions is expected. */
export function measures(candidate: Quantity, ...dimensions: readonly Dimension[]): boolean {
  return dimensions.includes(candidate.unit.dimension);
}
