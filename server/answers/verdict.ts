/** A verdict by the tolerances of the book, as one sentence; the worst angle decides. */
import type { Book } from '../book/book.ts';
import { toleranceFor } from '../book/entries/shop.ts';
import { shopOf } from '../book/known.ts';
import { difference } from '../colour/difference.ts';
import { type Tolerances, type VerdictWord, verdict } from '../colour/verdict.ts';
import type { Viewing } from '../colour/viewing.ts';
import type { Pair } from './pairs.ts';

/** With the light that it was judged under. */
export interface BookVerdict extends Viewing {
  readonly word: VerdictWord;
  readonly sentence: string;
  /** The angle that decides. */
  readonly worst: string;
}

/** Judged under the main light of the book, else under the first that the pairs were compared under. */
export function verdictOf(book: Book, pairs: readonly Pair[]): BookVerdict | null {
  const main = shopOf(book).viewings[0]!;
  const under = (one: Viewing) =>
    pairs.filter((pair) => pair.illuminant === one.illuminant && pair.observer === one.observer);
  const judged = under(main).length > 0 ? under(main) : pairs[0] ? under(pairs[0]) : [];
  const found = verdict(
    judged.map(({ geometry, standard, sample }) => ({
      geometry,
      difference: difference('dE00', standard, sample),
      tolerances: tolerancesAt(book, geometry),
    })),
  );
  return found ? { ...found, illuminant: judged[0]!.illuminant, observer: judged[0]!.observer } : null;
}

/** An angle may be allowed more edge to edge than blending is allowed in general; each use allows at least what the one before does. */
function tolerancesAt(book: Book, geometry: string): Tolerances {
  const shop = shopOf(book);
  const edge = toleranceFor(shop, geometry, 'edge').limit;
  const blend = Math.max(edge, toleranceFor(shop, geometry, 'blend').limit);
  return { edge, blend, hidden: Math.max(blend, toleranceFor(shop, geometry, 'hidden').limit) };
}
