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
      if (ofNoFormula(change)) continue;
      if (change.name === 'book:')
        for (const kind of ['formula', 'variant'] as const)
          for (const cell of book.ofKind(kind)) visit(book, cell, seen, reached);
      for (const name of change.is === 'renamed' ? [change.name, change.from] : [change.name])
        visitName(book, name as Name, seen, reached);
    }
  }
  return reached;
}

/** What stands in no relation to the colour or the weights of a formula that names it. */
const SILENT = /^(instrument|scale):/;

/** What else a system says: its formulas are sprayed and hide as before. */
const BESIDE = new Set(['system', 'note', 'viscosity', 'potlife', 'keeps']);

const ofNoFormula = (change: EntryChange): boolean =>
  change.name.startsWith('system:') && 'words' in change && change.words.every((word) => BESIDE.has(word));

function visitName(book: Book, name: Name, seen: Set<string>, reached: Set<string>): void {
  if (seen.has(name) || SILENT.test(name)) return;
  seen.add(name);
  for (const cell of book.named(name)) visit(book, cell, seen, reached);
  // A toner that names its system is none of what the system adds to its paint.
  const system = name.startsWith('system:');
  // Cards and batches do not change with their formula: they are records. Another formula has it as its undercoat.
  const formula = name.startsWith('formula:');
  for (const user of book.usersOf(name))
    if (!(formula || system) || user.entry.kind === 'variant' || user.entry.kind === 'formula')
      visit(book, user, seen, reached);
}

/** A card hands a change on to its formula; a let-down, undercoat or formula to whoever names it. */
function visit(book: Book, cell: EntryCell, seen: Set<string>, reached: Set<string>): void {
  const { kind } = cell.entry;
  if (kind === 'sprayout') {
    const formula = cell.entry.head?.values.find((value) => value.place === 'formula')?.text;
    if (formula !== undefined && book.find('formula', formula)) reached.add(formula);
    return;
  }
  if (!cell.name || kind === 'batch' || kind === 'reading' || kind === 'drawdown') return;
  if (kind === 'formula' || kind === 'variant') reached.add(cell.name.slice('formula:'.length));
  visitName(book, cell.name, seen, reached);
}
