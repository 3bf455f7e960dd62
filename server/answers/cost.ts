/** What a mix costs, and what it takes out of the stock. */

import type { Book } from '../book/book.ts';
import { costsOf, type MaterialsByCode, materialNamed } from '../book/materials.ts';
import { decimal, type Rational, zero } from '../exact/rational.ts';
import { type StockedLot, withdraw } from '../paint/stock.ts';
import type { Amount } from '../paint/weights.ts';

export interface Money {
  readonly currency: string;
  readonly amount: string;
}

export interface CostAnswer {
  /** By currency; two currencies are never added. */
  readonly sums: readonly Money[];
  /** Null where a density or the area is not known. */
  readonly perLitre: readonly Money[] | null;
  readonly perSquareMetre: readonly Money[] | null;
  /** Toners without a price: the cost is at least what the sums say. */
  readonly unpriced: readonly string[];
}

/** Some paint, with the materials in it that are no toners of the book. */
export interface Portion {
  readonly amounts: readonly Amount[];
  readonly materials?: MaterialsByCode;
}

/** @param millilitres of the whole, @param area in m2, where they are known. */
export function costAnswer(
  book: Book,
  portions: readonly Portion[],
  millilitres?: Rational | undefined,
  area?: Rational | undefined,
): CostAnswer {
  const money = new Map<string, Rational>();
  const unpriced = new Set<string>();
  for (const { amounts, materials } of portions) {
    const found = costsOf(book, amounts, materials);
    for (const [currency, sum] of found.money) money.set(currency, (money.get(currency) ?? zero).add(sum));
    for (const code of found.unpriced) unpriced.add(code);
  }
  const per = (divisor: Rational | undefined): Money[] | null => (divisor?.gt(0) ? moneyOf(money, divisor) : null);
  return {
    sums: moneyOf(money),
    perLitre: per(millilitres?.div(1000)),
    perSquareMetre: per(area),
    unpriced: [...unpriced],
  };
}

const moneyOf = (money: ReadonlyMap<string, Rational>, divisor?: Rational): Money[] =>
  [...money].map(([currency, sum]) => ({ currency, amount: decimal(divisor ? sum.div(divisor) : sum, 2) }));

export interface StockAnswer {
  readonly toner: string;
  readonly needed: string;
  readonly from: readonly { readonly lot: string; readonly grams: string; readonly left: string }[];
  /** What no lot can give; null while the stock suffices. */
  readonly short: string | null;
  readonly mixesLots: boolean;
}

/**
 * Of every toner whose stock is kept. Lots are used in the order in which the book lists them.
 * @param recorded lots that are known to have been used, by toner: nothing is taken from another
 */
export function stockAnswer(
  book: Book,
  amounts: readonly Amount[],
  places: number,
  recorded?: ReadonlyMap<string, string>,
): StockAnswer[] {
  const stock = amounts.flatMap(({ code }): StockedLot[] => {
    const lots = (materialNamed(book, code)?.lots ?? []).filter(({ lot }) => lot === (recorded?.get(code) ?? lot));
    return lots.flatMap(({ lot, stock }) => {
      const grams = stock?.grams ?? (stock?.millilitres && materialNamed(book, code)?.density?.mul(stock.millilitres));
      return grams ? [{ code, lot, grams }] : [];
    });
  });
  return withdraw(stock, amounts).map(({ code, needed, from, short, mixesLots }) => ({
    toner: code,
    needed: decimal(needed, places),
    from: from.map(({ lot, grams, left }) => ({ lot, grams: decimal(grams, places), left: decimal(left, places) })),
    short: short.gt(0) ? decimal(short, places) : null,
    mixesLots,
  }));
}
