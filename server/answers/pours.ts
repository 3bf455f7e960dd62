/** For each toner line of an entry, what to pour at the target weight. */
import type { Line } from '../../grammar/tree.ts';
import type { Book } from '../book/book.ts';
import type { EntryCell } from '../book/cell.ts';
import { recipeIn } from '../book/recipe.ts';
import { type MixAnswer, mix } from './mix.ts';
import { Unanswerable } from './subject.ts';

export interface LinePour {
  readonly line: Line;
  readonly text: string;
  readonly tooltip: string;
}

export function formulaPours(book: Book, cell: EntryCell): readonly LinePour[] {
  const { kind } = cell.entry;
  if (kind !== 'formula' && kind !== 'variant') return [];
  return book
    .fact(
      'pours',
      cell,
      () => compute(book, cell),
      () => [] as LinePour[],
    )
    .get();
}

function compute(book: Book, cell: EntryCell): LinePour[] {
  const sheet = sheetOf(book, cell);
  if (!sheet) return [];
  const toners = recipeIn(book, cell).coats.flatMap((coat) => coat.toners);
  return toners.flatMap((toner, index) => {
    const own = toner.origins.filter((origin) => origin.cell === cell).at(-1);
    const pour = sheet.pours[index];
    if (!own || !pour) return [];
    return [
      {
        line: own.line,
        text: `${pour.grams} g → ${pour.cumulative} g`,
        tooltip: `Pour ${pour.grams} g of ${pour.toner}; the scale then shows ${pour.cumulative} g of ${sheet.total} g.`,
      },
    ];
  });
}

function sheetOf(book: Book, cell: EntryCell): MixAnswer | undefined {
  try {
    return mix(book, cell);
  } catch (error) {
    if (error instanceof Unanswerable || error instanceof RangeError) return undefined;
    throw error;
  }
}
