/** The formulas that a change reaches: those that say something else, and everything that derives from them or is mixed of what changed. */
import type { Book } from '../book/book.ts';
import type { EntryCell, Name } from '../book/cell.ts';
import type { EntryChange } from './changes.ts';

/** Ids of formulas and variants, of either version. The work grows with what is reached, not with the book. */
export function reachedFormulas(before: Book, after: Book, changes: readonly EntryChange[]): Set<string> {
  const reached = new Set<string>();
  for (const book of [before, after]) {
    const seen = new Set<string>();
    for (const change of changes) {
      if (change.name === 'book:')
        for (const kind of ['formula', 'variant'] as const)
          for (const cell of book.ofKind(kind)) visit(book, cell, seen, reached);
      for (const name of change.is === 'renamed' ? [change.name, change.from] : [change.name])
        visitName(book, name as Name, seen, reached);
    }
  }
  return reached;
}

function visitName(book: Book, name: Name, seen: Set<string>, reached: Set<string>): void {
  if (seen.has(name)) return;
  seen.add(name);
  for (const cell of book.named(name)) visit(book, cell, seen, reached);
  for (const user of book.usersOf(name)) visit(book, user, seen, reached);
}

/** A card or batch hands a change on to its formula; a let-down, undercoat or formula to whoever names it. */
function visit(book: Book, cell: EntryCell, seen: Set<string>, reached: Set<string>): void {
  const { kind } = cell.entry;
  if (kind === 'formula' || kind === 'variant') {
    const id = cell.name?.slice('formula:'.length);
    if (id === undefined || reached.has(id)) return;
    reached.add(id);
    // Cards and batches of the formula do not change with it: they are records.
    for (const user of book.usersOf(`formula:${id}`))
      if (user.entry.kind === 'variant') visit(book, user, seen, reached);
    return;
  }
  if (kind === 'sprayout') {
    const formula = cell.entry.head?.values.find((value) => value.place === 'formula')?.text;
    if (formula !== undefined) for (const one of book.named(`formula:${formula}`)) visit(book, one, seen, reached);
    return;
  }
  if (kind === 'batch' || kind === 'reading' || kind === 'drawdown' || !cell.name) return;
  visitName(book, cell.name, seen, reached);
}
