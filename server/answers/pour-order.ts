/**
 * In which order the toners of a formula could be poured, and why. Sources differ on it (common practice), and the written order stays
 * as it is: this is advice on request.
 */
import type { Book } from '../book/book.ts';
import type { EntryCell } from '../book/cell.ts';
import { tonerNamed } from '../book/known.ts';
import { type RecipeToner, recipeIn } from '../book/recipe.ts';
import { type Rational, sum } from '../exact/rational.ts';

export interface OrderAdvice {
  readonly coat: string;
  readonly toner: string;
  readonly reason: string;
}

/** Groups from first to last; within a group the larger pour goes first, since it hides the error of the smaller. */
const GROUPS = [
  'large or weak: it wets the cup, and a small error in it matters least',
  'strong and small: poured early it can still be saved by scaling the rest, poured last it forces additions to all',
  'of middle size: nothing speaks for another place',
  'flake: not into a dry cup, where it sticks to the wall',
  'hardener: last, since the pot life begins with it',
] as const;

/** A pour below this share of its coat is small: a slip of one scale step shows in the colour. */
const SMALL = 0.05;
const LARGE = 0.25;

export function pourOrder(book: Book, cell: EntryCell): OrderAdvice[] {
  return recipeIn(book, cell).coats.flatMap((coat) => {
    const total = sum(coat.toners.map((toner) => toner.parts));
    return coat.toners
      .map((toner) => ({ toner, group: groupOf(book, toner, total) }))
      .sort((a, b) => a.group - b.group || b.toner.parts.compare(a.toner.parts))
      .map(({ toner, group }) => ({ coat: coat.name, toner: toner.code, reason: GROUPS[group]! }));
  });
}

function groupOf(book: Book, { code, parts }: RecipeToner, total: Rational): number {
  const kind = tonerNamed(book, code)?.kind;
  if (kind === 'hardener') return 4;
  if (kind === 'flake' || kind === 'pearl') return 3;
  const share = total.gt(0) ? parts.div(total).valueOf() : 0;
  const weak = kind === 'binder' || kind === 'additive' || kind === 'white' || kind === 'reducer';
  if (share >= LARGE || (weak && share > SMALL)) return 0;
  return share < SMALL ? 1 : 2;
}
