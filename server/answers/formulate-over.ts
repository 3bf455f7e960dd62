/** What formulas are looked for: a film over an undercoat, or as much as hides it. */
import type { Book } from '../book/book.ts';
import { greyNamed } from '../book/entries/written.ts';
import { type Below, greyBelow } from '../book/optics/below.ts';
import type { Learned } from '../book/optics/learn.ts';
import { solidOptics } from '../book/optics/optics.ts';
import { colouredBelow, paintOf } from '../book/optics/predicted.ts';
import type { Side } from '../book/optics/samples.ts';
import { recipeNamed } from '../book/recipe.ts';
import type { FormulateAsked, Task } from './formulate.ts';
import { rounded } from './number.ts';
import { Unanswerable } from './subject.ts';

/** What the formulas are for. */
export interface FormulateOver {
  readonly undercoat: string;
  /** null: as many coats as hide (a solid colour), or a film as the cards have it (an effect colour). */
  readonly coats: number | null;
  /** Dry film, um; null as above, and while no film of known thickness tells what a coat is. */
  readonly film: number | null;
}

export function overOf({ below, film, learned }: Task, { coats }: FormulateAsked, side: Side): FormulateOver | null {
  if (!below) return null;
  if (film === undefined) return { undercoat: below.words, coats: null, film: null };
  const known = !isRelative(learned, side);
  return {
    undercoat: below.words,
    coats: rounded(coats ?? film / learned.coat, 1),
    film: known ? rounded(film, 1) : null,
  };
}

/** No film of known thickness was read, so that coats compare with each other only. */
export const isRelative = (learned: Learned, side: Side): boolean =>
  side === 'solid' && solidOptics(learned)?.fit.scale === undefined;

/** What is asked for is sprayed on what. @throws Unanswerable when it cannot be. */
export function sprayedOn(
  book: Book,
  learned: Learned,
  side: Side,
  { undercoat, coats, film }: FormulateAsked,
): Pick<Task, 'below' | 'film'> {
  const thin = film ?? (coats === undefined ? undefined : coats * learned.coat);
  if (undercoat === undefined) {
    if (thin !== undefined)
      throw new Unanswerable('A film is seen with what is below it: say what, for example --undercoat N5.');
    return { below: undefined, film: undefined };
  }
  if (film !== undefined && isRelative(learned, side))
    throw new Unanswerable(
      'No film of known thickness was read in this system, so that um mean nothing to it: say --coats instead.',
    );
  return { below: belowNamed(book, undercoat), film: thin };
}

function belowNamed(book: Book, written: string): Below {
  const grey = greyNamed(written);
  const found = grey ? greyBelow(grey) : colouredBelow(book, written);
  if (found) return found;
  if (grey) throw new Unanswerable(`There is no grey ${written}: write N0 to N10, or L* 0 to L* 100.`);
  const recipe = recipeNamed(book, written);
  if (!recipe)
    throw new Unanswerable(
      `There is no formula '${written}' to spray on; write a grey such as N5, or the id of a formula.`,
    );
  const paint = paintOf(book, recipe);
  throw new Unanswerable(
    `The colour of ${written} is not known${'none' in paint ? `: ${paint.none}` : ''}, so nothing can be formulated over it.`,
  );
}
