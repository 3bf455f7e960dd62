import type { Finding } from '../../../grammar/finding.ts';
import { nearest } from '../../../grammar/nearest.ts';
import type { Namespace } from '../../../grammar/words.ts';
import type { Book } from '../book.ts';
import type { EntryCell } from '../cell.ts';
import type { Check } from './check.ts';

export const nameUnknown: Check = {
  pages: [
    {
      code: 'name-unknown',
      title: 'Something is named that the book does not have',
      text: 'A line names a toner, system, formula, reading, undercoat, instrument, scale or batch that no entry of the book defines. The nearest name of that kind is offered. Correct the name, or add the entry.',
    },
  ],
  in: 'every entry',
  acrossFiles: true,
  *find(book, cell) {
    for (const { name, value } of book.mentionsIn(cell)) {
      if (book.named(name).length > 0) continue;
      const colon = name.indexOf(':');
      yield missing(book, cell, name.slice(0, colon) as Namespace, value.text, value);
    }
  },
};

function missing(
  book: Book,
  cell: EntryCell,
  space: Namespace,
  id: string,
  span: { from: number; to: number },
): Finding {
  // Sorted, so that of two names as near the same one is offered, however the book came to be.
  const guess = nearest(id, [...book.ids(space)].sort());
  const isParent =
    cell.entry.kind === 'variant' &&
    cell.entry.head?.values.some((value) => value.place === 'id' && value.from === span.from);
  const problem = isParent
    ? `The parent of this variant, formula '${id}', is not in the book.`
    : `There is no ${space} '${id}' in the book.`;
  return {
    code: 'name-unknown',
    severity: 'error',
    from: span.from,
    to: span.to,
    problem,
    remedy: guess
      ? `Did you mean '${guess}'? Otherwise add an entry for '${id}'.`
      : `Correct the name, or add an entry: ${space} ${id} …`,
    ...(guess ? { fixes: [{ title: `Write ${guess}`, edits: [{ from: span.from, to: span.to, text: guess }] }] } : {}),
  };
}
