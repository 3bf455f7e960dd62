import { lineOf, value } from '../../../grammar/tree.ts';
import { coloursBelow } from '../below.ts';
import { recipeIn } from '../recipe.ts';
import { type Check, finding } from './check.ts';

export const undercoatRing: Check = {
  pages: [
    {
      code: 'undercoat-ring',
      title: 'An undercoat that lies on itself',
      text: 'A coloured undercoat is a formula, which goes on an undercoat in its turn. Somewhere down there has to be one that does not go on any of those above it: a grey, or a formula with a grey. A variant takes the undercoat over from its parent, so a formula that goes on its own variant goes on itself.',
    },
  ],
  in: ['formula', 'variant'],
  acrossFiles: true,
  *find(book, cell) {
    const line = lineOf(cell.entry, 'undercoat');
    const at = value(line, 'formula');
    if (!at) return;
    const recipe = recipeIn(book, cell);
    const { ids, ring } = coloursBelow(book, recipe);
    if (!ring) return;
    yield finding(
      'undercoat-ring',
      'error',
      at,
      ids[0] === recipe.id
        ? `${recipe.id} cannot be its own undercoat.`
        : `The undercoats lead round in a ring: ${[recipe.id, ...ids].join(', ')}.`,
      'Name a grey that it goes on, for example: undercoat SEAL grey N5',
    );
  },
};
