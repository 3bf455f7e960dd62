/** Coats against grey of a formula, for the chart. */
import type { Book } from '../book/book.ts';
import type { EntryCell } from '../book/cell.ts';
import { type CoatsOverNamed, coatsTable, type GreyCoats, hidingIn } from '../book/optics/hiding.ts';
import { recipeIn } from '../book/recipe.ts';
import { lightnessOfValue } from '../paint/munsell.ts';
import { Unanswerable } from './subject.ts';

export interface CoatsChartAnswer {
  readonly title: string;
  readonly points: readonly GreyCoats[];
  readonly named: CoatsOverNamed | undefined;
  readonly best: GreyCoats | undefined;
}

/** Munsell half steps from N2 to N9.5, which can be mixed and named. */
const GREYS = Array.from({ length: 16 }, (_, i) => lightnessOfValue(2 + i / 2));

/** @throws Unanswerable when nothing is predicted of the formula. */
export function coatsChart(book: Book, cell: EntryCell): CoatsChartAnswer {
  const recipe = recipeIn(book, cell);
  const hiding = hidingIn(book, cell);
  const points = coatsTable(book, cell, GREYS);
  if ('none' in hiding) throw new Unanswerable(`The coats of ${recipe.id} cannot be predicted: ${hiding.none}.`);
  if ('none' in points) throw new Unanswerable(`The coats of ${recipe.id} cannot be predicted: ${points.none}.`);
  const what = hiding.coat === 'ground' ? `${recipe.id}, ground` : recipe.id;
  return { title: `Coats to hide, ${what}`, points, named: hiding.named, best: hiding.best };
}
