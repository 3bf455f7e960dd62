import type { Finding } from '../../../grammar/finding.ts';
import type { EntryCell } from '../cell.ts';
import { type Recipe, recipeIn } from '../recipe.ts';
import { type Check, finding, headOf } from './check.ts';

export const formulaBare: Check = {
  pages: [
    {
      code: 'target-missing',
      title: 'No target weight',
      text: 'The target weight is how much of a colour is usually mixed. The grams beside the parts, the pours that are too small for the scale, and the cost are told for it. A variant takes it over from its parent.',
    },
    {
      code: 'undercoat-missing',
      title: 'No undercoat',
      text: 'Most colours do not hide completely in the coats that are sprayed, so what lies under them belongs to the colour. Write the undercoat and its grey; a variant takes them over from its parent.',
    },
    {
      code: 'standard-missing',
      title: 'No standard',
      text: 'The standard is the reading that the colour has to look like. Without one nobody can say whether a card comes near. A variant takes it over from its parent.',
    },
  ],
  // What a variant lacks its formula lacks, too, and is told there.
  in: ['formula'],
  acrossFiles: false,
  *find(book, cell) {
    const recipe = recipeIn(book, cell);
    if (recipe.status?.is !== 'withdrawn') yield* missing(recipe, cell);
  },
};

function* missing({ target, undercoat, standard }: Recipe, cell: EntryCell): Generator<Finding> {
  const at = headOf(cell.entry);
  const written = (word: string) => cell.entry.lines.some((line) => line.word === word);
  if (!target && !written('target')) {
    yield finding(
      'target-missing',
      'warning',
      at,
      'Nothing says how much of this colour is usually mixed.',
      'Write it, for example: target weight 250 g as poured',
    );
  }
  if (!undercoat && !written('undercoat')) {
    yield finding(
      'undercoat-missing',
      'warning',
      at,
      'Nothing says what this colour goes on.',
      'Write the undercoat and its grey, for example: undercoat SEAL grey N5',
    );
  }
  if (!standard && !written('standard')) {
    yield finding(
      'standard-missing',
      'warning',
      at,
      'Nothing says what this colour has to look like.',
      'Name the reading that is its standard, for example: standard SAM-door',
    );
  }
}
