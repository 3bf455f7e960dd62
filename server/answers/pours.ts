/** For each toner line of an entry, what to pour at the target weight. */
import type { Line } from '../../grammar/tree.ts';
import type { Book } from '../book/book.ts';
import type { EntryCell } from '../book/cell.ts';
import { weighed } from './mix.ts';
import type { Cup } from './mix-cups.ts';
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
  return cupsIn(book, cell).flatMap(({ coat, pours }) => {
    const full = pours.at(-1)?.cumulative;
    return coat.toners.flatMap((toner, n) => {
      const own = toner.origins.filter((origin) => origin.cell === cell).at(-1);
      const pour = pours[n];
      if (!own || !pour) return [];
      return [
        {
          line: own.line,
          text: `${pour.grams} g → ${pour.cumulative} g`,
          tooltip: `Pour ${pour.grams} g of ${pour.code}; the scale then shows ${pour.cumulative} g of ${full} g.`,
        },
      ];
    });
  });
}

/** Only what is poured: VOC and cost of a sheet are not worked out for a hint. */
function cupsIn(book: Book, cell: EntryCell): readonly Cup[] {
  try {
    return weighed(book, cell, {}).cups;
  } catch (error) {
    if (error instanceof Unanswerable || error instanceof RangeError) return [];
    throw error;
  }
}
