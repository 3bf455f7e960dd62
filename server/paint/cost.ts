import { type Quantity, toBase } from '../exact/quantity.ts';
import { type Rational, zero } from '../exact/rational.ts';
import type { Amount } from './weights.ts';

/** A mass of a toner, what it costs, and its density in g/ml where the price is by volume. */
export interface Priced extends Amount {
  readonly price?: Quantity;
  readonly density?: Rational;
}

export interface Cost {
  /** Money by currency; two currencies are never added. */
  readonly money: ReadonlyMap<string, Rational>;
  /** Toners without a price, or with one by volume and no density: the cost is at least what `money` says. */
  readonly unknown: readonly string[];
}

/** What the toners of a batch cost. */
export function costOf(priced: readonly Priced[]): Cost {
  const money = new Map<string, Rational>();
  const unknown: string[] = [];
  for (const each of priced) {
    const cost = costOfOne(each);
    const currency = each.price?.unit.currency;
    if (!cost || !currency) unknown.push(each.code);
    else money.set(currency, (money.get(currency) ?? zero).add(cost));
  }
  return { money, unknown };
}

function costOfOne({ grams, price, density }: Priced): Rational | undefined {
  if (price?.unit.dimension === 'price per mass') return toBase(price).mul(grams);
  if (price?.unit.dimension === 'price per volume' && density) return toBase(price).mul(grams).div(density);
  return undefined;
}

/** A cost spread over a mass, a volume or an area: per gram, per ml or per m2, whatever `divisor` is in. */
export function costPer(cost: Cost, divisor: Rational): Cost {
  return { ...cost, money: new Map([...cost.money].map(([currency, sum]) => [currency, sum.div(divisor)])) };
}
