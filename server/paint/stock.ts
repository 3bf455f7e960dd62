import { type Rational, smaller, zero } from '../exact/rational.ts';
import type { Amount } from './weights.ts';

/** What is left of one lot of a toner, in grams. */
export interface StockedLot extends Amount {
  readonly lot: string;
}

export interface Withdrawal {
  readonly code: string;
  readonly needed: Rational;
  /** What each lot gives, in the order in which the lots were listed. */
  readonly from: readonly { readonly lot: string; readonly grams: Rational; readonly left: Rational }[];
  /** What no lot can give; above zero when the toner runs out. */
  readonly short: Rational;
  /** More than one lot in a batch: their colours may differ, and the batch has to record both. */
  readonly mixesLots: boolean;
}

/** What a batch takes out of the stock. A toner of which no lot is listed is left out: its stock is not kept. */
export function withdraw(stock: readonly StockedLot[], needed: readonly Amount[]): Withdrawal[] {
  return needed.flatMap(({ code, grams }) => {
    const lots = stock.filter((lot) => lot.code === code);
    return lots.length > 0 ? [withdrawOne(code, lots, grams)] : [];
  });
}

function withdrawOne(code: string, lots: readonly StockedLot[], needed: Rational): Withdrawal {
  let short = needed;
  const from = lots.map(({ lot, grams: held }) => {
    const grams = smaller(held, short);
    short = short.sub(grams);
    return { lot, grams, left: held.sub(grams) };
  });
  const used = from.filter(({ grams }) => grams.gt(0));
  return { code, needed, from: used, short: short.gt(0) ? short : zero, mixesLots: used.length > 1 };
}
