import { decimal, placesOf } from '../../exact/rational.ts';
import { unit } from '../../exact/units.ts';
import type { Book } from '../book.ts';
import type { EntryCell } from '../cell.ts';
import { formulaIn, shopOf } from '../known.ts';
import { recipeIn } from '../recipe.ts';
import { limitOf } from '../voc.ts';
import { type Check, finding, headOf } from './check.ts';
import { standingOf } from './expectation.ts';
import { vocFigure } from './expected-bench.ts';

export const vocAbove: Check = {
  pages: [
    {
      code: 'voc-above',
      title: 'A formula above its VOC limit',
      text: 'The `voc` line of the book names a limit for its colours, and this one, ready to spray with whichever of its reducers gives most, is above it. The figure is the same as that of `expect voc` and of the pour sheet. Nothing is said where a density, solids or water of a toner is not known, of a withdrawn formula, and where an `expect voc` of the formula says it already. Take toners or a reducer that give off less, or, where the paint falls under another category, say so in the `voc` line. It is arithmetic and no clearance to spray: limits change, and local rules may be stricter.',
    },
  ],
  in: ['formula', 'variant'],
  acrossFiles: true,
  *find(book, cell) {
    const told = tellAbove(book, cell);
    if (told === undefined) return;
    yield finding(
      'voc-above',
      'warning',
      headOf(cell.entry),
      told,
      'Take toners or a reducer that give off less, or name the category that it falls under in the voc line of the book. Local rules may be stricter.',
    );
  },
};

/** A fact of its own: a toner that changes leaves the other findings of a formula alone while this stays as it is. */
const tellAbove = (book: Book, cell: EntryCell): string | undefined =>
  book
    .fact(
      'voc-above',
      cell,
      () => above(book, cell),
      () => undefined,
    )
    .get();

function above(book: Book, cell: EntryCell): string | undefined {
  const held = limitOf(shopOf(book));
  const { status, expectations } = formulaIn(book, cell);
  if (!held || status?.is === 'withdrawn') return undefined;
  const figure = vocFigure(book, recipeIn(book, cell), unit('g/l'));
  const { limit, id } = held.limit;
  if (!('value' in figure) || figure.value.mul(1000).lte(limit)) return undefined;
  if (expectations.some((one) => one.metric === 'voc' && standingOf(book, cell, one).is === 'fails')) return undefined;
  return `${figure.told[0]!.toUpperCase()}${figure.told.slice(1)}, above the ${decimal(limit, placesOf(limit))} g/l of ${held.name} ${id} as of ${held.date}.`;
}
