import Fraction from 'fraction.js';

/** An exact fraction of whole numbers of any size. 41.2 parts x 250 g x 28.349523125 g does not fit a double; this does. */
export type Rational = Fraction;

export const zero: Rational = new Fraction(0);
export const one: Rational = new Fraction(1);

const decimalShape = /^[+-]?\d+(?:\.\d+)?$/;
const ratioShape = /^([+-]?\d+)\/(\d+)$/;

/**
 * The exact value of a decimal as it is written: '41.20', '-0.5', '1/3', 12n, 41.2.
 * A number means the decimal that JavaScript prints for it, so `rational(0.1)` is one tenth and not the nearest double.
 * @throws RangeError when the text is no plain decimal or ratio, or the number is not finite.
 */
export function rational(value: string | number | bigint): Rational {
  if (typeof value === 'bigint') return new Fraction(value, 1n);
  const text = typeof value === 'number' ? plainDecimal(value) : value;
  if (decimalShape.test(text)) return fromDecimal(text);
  const ratio = ratioShape.exec(text);
  if (ratio && BigInt(ratio[2]!) !== 0n) return new Fraction(BigInt(ratio[1]!), BigInt(ratio[2]!));
  throw new RangeError(`'${text}' is not a decimal such as 41.20 or a ratio such as 1/3`);
}

function fromDecimal(text: string): Rational {
  const [whole, digits = ''] = text.split('.') as [string, string?];
  return new Fraction(BigInt(whole + digits), 10n ** BigInt(digits.length));
}

/** JavaScript prints very small and very large numbers as 1e-7 and 1e+21; written out they are decimals again. */
function plainDecimal(value: number): string {
  const match = /^(-?)(\d+)(?:\.(\d+))?e([+-]\d+)$/.exec(String(value));
  if (!match) return String(value);
  const [, sign, whole, digits = ''] = match;
  const exponent = Number(match[4]);
  const all = whole! + digits;
  const point = whole!.length + exponent;
  if (point <= 0) return `${sign}0.${'0'.repeat(-point)}${all}`;
  return sign + all.padEnd(point, '0');
}

/** What to do with a value that lies exactly between two steps. The project's one rule is 'away from zero'. */
export type Tie = 'away from zero' | 'to even';

/** The nearest whole number; 0.5 becomes 1 and -0.5 becomes -1, unless ties go to the even neighbour. */
export function nearestWhole(r: Rational, tie: Tie = 'away from zero'): bigint {
  return r.s * nearestQuotient(r.n, r.d, tie);
}

/** The nearest whole number to n / d, neither below zero. Whole numbers need no common factors taken out, which is what takes time. */
function nearestQuotient(n: bigint, d: bigint, tie: Tie): bigint {
  const down = n / d;
  const doubled = 2n * (n - down * d);
  const up = doubled > d || (doubled === d && (tie === 'away from zero' || down % 2n === 1n));
  return up ? down + 1n : down;
}

/** The nearest multiple of a positive step, such as the readability of a scale. */
export function roundToStep(r: Rational, step: Rational, tie: Tie = 'away from zero'): Rational {
  const steps = r.s * nearestQuotient(r.n * step.d, r.d * step.n, tie);
  return new Fraction(steps * step.n, step.d);
}

/** The multiple of a positive step that is at or above the value. */
export function ceilToStep(r: Rational, step: Rational): Rational {
  return step.mul(r.div(step).ceil());
}

/** The value with exactly so many decimal places: `decimal(rational('2/3'), 2)` is '0.67'. Never '-0.00'. */
export function decimal(r: Rational, places: number, tie: Tie = 'away from zero'): string {
  return pointed(r.s * nearestQuotient(r.n * powerOfTen(places), r.d, tie), places);
}

/** The same of a product, whose common factors need not be taken out first. */
export function productDecimal(a: Rational, b: Rational, places: number): string {
  return pointed(a.s * b.s * nearestQuotient(a.n * b.n * powerOfTen(places), a.d * b.d, 'away from zero'), places);
}

/** So many per cent is `part` of `whole`, which is above zero. */
export function percentDecimal(part: Rational, whole: Rational, places: number): string {
  const hundredfold = part.n * whole.d * powerOfTen(places + 2);
  return pointed(part.s * nearestQuotient(hundredfold, part.d * whole.n, 'away from zero'), places);
}

/** So many whole steps of a scale with as many decimal places as a step has. */
export function stepsDecimal(steps: bigint, step: Rational, places = placesOf(step)): string {
  const inPlaces = step.n * powerOfTen(places);
  return inPlaces % step.d === 0n
    ? pointed((step.s * steps * inPlaces) / step.d, places)
    : decimal(step.mul(steps), places);
}

/** A whole number of the last decimal place, written out. */
function pointed(scaled: bigint, places: number): string {
  if (places === 0) return scaled.toString();
  const digits = (scaled < 0n ? -scaled : scaled).toString().padStart(places + 1, '0');
  const point = digits.length - places;
  return `${scaled < 0n ? '-' : ''}${digits.slice(0, point)}.${digits.slice(point)}`;
}

const POWERS_OF_TEN = Array.from({ length: 20 }, (_, power) => 10n ** BigInt(power));

const powerOfTen = (power: number): bigint => POWERS_OF_TEN[power] ?? 10n ** BigInt(power);

/** The decimal places that a step needs to be written in full: 0.1 -> 1, 0.05 -> 2, 5 -> 0; at most 9 for endless ones. */
export function placesOf(step: Rational): number {
  let places = 0;
  for (const { d } = step; powerOfTen(places) % d !== 0n && places < 9; ) places++;
  return places;
}

export function sum(values: Iterable<Rational>): Rational {
  const total = new Total();
  for (const value of values) total.add(value);
  return total.value;
}

/** A sum that grows. Common factors, which take most of the time of an addition, are taken out only when its value is asked for. */
export class Total {
  private n: bigint;
  private d: bigint;

  constructor(from = zero) {
    this.n = from.s * from.n;
    this.d = from.d;
  }

  add({ s, n, d }: Rational): void {
    this.addRatio(s * n, d);
  }

  addProduct(a: Rational, b: Rational): void {
    this.addRatio(a.s * b.s * a.n * b.n, a.d * b.d);
  }

  private addRatio(n: bigint, d: bigint): void {
    if (this.d % d === 0n) this.n += n * (this.d / d);
    else {
      this.n = this.n * d + n * this.d;
      this.d *= d;
    }
  }

  get value(): Rational {
    return new Fraction(this.n, this.d);
  }

  /** The nearest whole number of positive steps, such as the readability of a scale; ties go away from zero. */
  inSteps({ n, d }: Rational): bigint {
    const above = this.n < 0n ? -this.n : this.n;
    const steps = nearestQuotient(above * d, this.d * n, 'away from zero');
    return this.n < 0n ? -steps : steps;
  }
}

export function larger(a: Rational, b: Rational): Rational {
  return a.gte(b) ? a : b;
}

export function smaller(a: Rational, b: Rational): Rational {
  return a.lte(b) ? a : b;
}
