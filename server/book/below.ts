/** Coloured undercoats: the formulas that a formula goes on, which may go on others again. */
import type { Book } from './book.ts';
import { type Recipe, recipeNamed } from './recipe.ts';

export interface ColoursBelow {
  /** Ids of formulas, the nearest first; in a ring the last is one that was met before. */
  readonly ids: readonly string[];
  /** They come back to a formula that is above them already, and so lie on nothing. */
  readonly ring: boolean;
}

/** More undercoats than anyone sprays: what lies further down is not seen. */
const DEEPEST = 8;

export function coloursBelow(book: Book, recipe: Recipe): ColoursBelow {
  const ids: string[] = [];
  const met = new Set([recipe.id]);
  for (let above: Recipe | undefined = recipe; above?.undercoat?.is.coloured && ids.length < DEEPEST; ) {
    const { id }: { id: string } = above.undercoat.is;
    ids.push(id);
    if (met.has(id)) return { ids, ring: true };
    met.add(id);
    above = recipeNamed(book, id);
  }
  return { ids, ring: false };
}
