import type { Finding, Fix } from '../../../grammar/finding.ts';
import { decimal, placesOf } from '../../exact/rational.ts';
import type { Book } from '../book.ts';
import { cardsOf, type Standing } from '../cards.ts';
import type { EntryCell } from '../cell.ts';
import { cardIn } from '../known.ts';
import { type Recipe, recipeIn } from '../recipe.ts';
import { type Check, finding, headOf, relatedEntry } from './check.ts';

export const cardParts: Check = {
  pages: [
    {
      code: 'card-loose',
      title: 'A card that keeps no parts',
      text: 'A card is a record: it keeps the parts that were really sprayed, as toner lines of its own or by naming the batch that it was sprayed from. Without them nobody can tell, after the next change of the formula, what the card shows, and nothing can be learned from it. The fix writes the parts that the formula has now into the card; use it only while the formula is still as it was sprayed.',
    },
    {
      code: 'card-earlier',
      title: 'A card of an earlier formula',
      text: 'The parts on this card are not those that the formula has now, so its difference from the standard is history. It says nothing of the formula as it stands; what the toners do is still learned from it, with the parts that it keeps, since leaving it out would move every prediction whenever a formula is edited. Spray a new card when the formula is to be judged.',
    },
  ],
  in: ['sprayout', 'drawdown'],
  acrossFiles: true,
  *find(book, cell) {
    const card = cardIn(book, cell);
    const formula = card.formula === undefined ? undefined : book.find('formula', card.formula);
    const keepsNothing = card.coats.every((coat) => coat.toners.length === 0) && card.batch === undefined;
    if (keepsNothing) yield loose(book, cell, formula);
    else if (formula && standing(book, formula, cell) === 'earlier') {
      yield finding(
        'card-earlier',
        'info',
        cell.entry.head?.values.find((value) => value.place === 'formula') ?? headOf(cell.entry),
        `This card shows ${card.formula} as it was; its parts have changed since.`,
        'Its difference is history. Spray a new card before the formula is judged.',
        { related: [relatedEntry(formula, 'the formula as it is now')] },
      );
    }
  },
};

function standing(book: Book, formula: EntryCell, cell: EntryCell): Standing | undefined {
  return cardsOf(book, formula).find((one) => one.cell === cell)?.standing;
}

function loose(book: Book, cell: EntryCell, formula: EntryCell | undefined): Finding {
  const recipe = formula && recipeIn(book, formula);
  return finding(
    'card-loose',
    'warning',
    headOf(cell.entry),
    'This card does not keep what was sprayed on it.',
    cell.entry.kind === 'sprayout'
      ? 'Write its toner lines, or name the batch: from batch 2026-10-02-A'
      : 'Write the toner lines of its mixture.',
    recipe && recipe.total.compare(0) > 0 ? { fixes: [freeze(cell, recipe)] } : {},
  );
}

/** Writes the formula's parts below the lines that say how the card was made, before what was read of it. */
function freeze(cell: EntryCell, { id, coats }: Recipe): Fix {
  const { head, lines } = cell.entry;
  const after = lines.filter((line) => MADE.has(line.word)).at(-1) ?? head!;
  const newline = cell.slice.text.includes('\r\n') ? '\r\n' : '\n';
  const several = coats.length > 1 || coats.some((coat) => coat.coats !== undefined);
  const written = coats.flatMap((coat) => [
    ...(several ? [`  coat ${coat.name}${coat.coats === undefined ? '' : ` coats ${coat.coats}`}`] : []),
    ...coat.toners.map(({ code, parts }) => `  toner ${code} ${decimal(parts, Math.max(2, placesOf(parts)))}`),
  ]);
  return {
    title: `Keep the parts that ${id} has now`,
    edits: [{ from: after.to, to: after.to, text: written.map((line) => newline + line).join('') }],
  };
}

const MADE = new Set(['sprayed', 'drawn', 'over', 'film']);
