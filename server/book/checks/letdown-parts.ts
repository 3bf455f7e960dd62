import type { Book } from '../book.ts';
import type { EntryCell } from '../cell.ts';
import { tonerIn } from '../known.ts';
import { type Check, finding, headOf, listed } from './check.ts';

export const letdownParts: Check = {
  pages: [
    {
      code: 'letdown-empty',
      title: 'A let-down without its mixture',
      text: 'A let-down is a toner thinned with binder. What is in it stands in its toner lines, the toner itself among them: `toner BLK-1 10` and `toner BND-0 90`. Without them its colour, density and cost cannot be computed.',
    },
    {
      code: 'letdown-foreign',
      title: 'A let-down that does not hold its toner',
      text: 'The head of a let-down says which toner it thins; one of its toner lines has to be that toner, or a let-down of it.',
    },
    {
      code: 'letdown-cycle',
      title: 'Let-downs made of each other',
      text: 'A let-down may be thinned further, but no chain of let-downs may come back to where it began: nobody could make the first cup.',
    },
  ],
  in: ['letdown'],
  acrossFiles: true,
  *find(book, cell) {
    const { code, letdownOf, madeOf } = tonerIn(book, cell);
    if (madeOf.length === 0) {
      yield finding(
        'letdown-empty',
        'error',
        headOf(cell.entry),
        `Nothing says what let-down ${code} is mixed from.`,
        `Write its mixture as toner lines, for example: toner ${letdownOf ?? 'BLK-1'} 10 and toner BND-0 90`,
      );
    }
    const way = wayBack(book, cell, code);
    if (way) {
      yield finding(
        'letdown-cycle',
        'error',
        placeOf(cell, way[0]!),
        way.length === 1
          ? `Let-down ${code} is made of itself.`
          : `Let-down ${code} is made of ${listed(way.slice(0, -1))}, and that of ${code} again.`,
        'Make one of them of the full-strength toner.',
      );
    } else if (madeOf.length > 0 && letdownOf !== undefined && !holds(book, cell, letdownOf)) {
      yield finding(
        'letdown-foreign',
        'error',
        cell.entry.head?.values.find((value) => value.place === 'toner') ?? headOf(cell.entry),
        `Let-down ${code} is said to thin ${letdownOf}, but holds none of it.`,
        `Add a line 'toner ${letdownOf} …', or correct the toner behind 'of'.`,
      );
    }
  },
};

const placeOf = (cell: EntryCell, code: string) =>
  [...cell.entry.lines, ...(cell.entry.head ? [cell.entry.head] : [])]
    .flatMap((line) => line.values)
    .find((value) => value.type === 'ref' && value.text === code) ?? headOf(cell.entry);

const parentsOf = (book: Book, cell: EntryCell): string[] => {
  const { letdownOf, madeOf } = tonerIn(book, cell);
  return [...new Set([...madeOf.map((one) => one.code), ...(letdownOf === undefined ? [] : [letdownOf])])];
};

/** The codes that lead from a let-down back to itself, itself last; nothing when none do. */
function wayBack(book: Book, start: EntryCell, code: string): string[] | undefined {
  const seen = new Set<string>();
  const follow = (cell: EntryCell): string[] | undefined => {
    for (const next of parentsOf(book, cell)) {
      if (next === code) return [code];
      if (seen.has(next)) continue;
      seen.add(next);
      const found = book.find('toner', next);
      const way = found?.entry.kind === 'letdown' ? follow(found) : undefined;
      if (way) return [next, ...way];
    }
    return undefined;
  };
  return follow(start);
}

function holds(book: Book, cell: EntryCell, wanted: string, seen = new Set<EntryCell>()): boolean {
  if (seen.has(cell)) return false;
  seen.add(cell);
  return tonerIn(book, cell).madeOf.some(({ code }) => {
    if (code === wanted) return true;
    const part = book.find('toner', code);
    return part?.entry.kind === 'letdown' && holds(book, part, wanted, seen);
  });
}
