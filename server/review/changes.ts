/** Two versions of a book entry by entry: what came, what went, what says something else now, what only has another name. */
import type { Book } from '../book/book.ts';
import type { EntryCell } from '../book/cell.ts';
import { lineMeaning, meaningOf } from './meaning.ts';

export type EntryChange =
  | { readonly is: 'added'; readonly name: string; readonly after: EntryCell }
  | { readonly is: 'removed'; readonly name: string; readonly before: EntryCell }
  | {
      readonly is: 'renamed';
      readonly name: string;
      readonly from: string;
      readonly before: EntryCell;
      readonly after: EntryCell;
    }
  | {
      readonly is: 'changed';
      readonly name: string;
      readonly before: EntryCell;
      readonly after: EntryCell;
      readonly words: readonly string[];
    };

/** Entries that say the same in both are not listed, wherever they stand and however they are written. */
export function entryChanges(before: Book, after: Book): EntryChange[] {
  const old = byKey(before);
  const now = byKey(after);
  const changes: EntryChange[] = [];
  const added = new Map<string, { key: string; cell: EntryCell }>();
  for (const [key, cell] of now) {
    const other = old.get(key);
    if (!other) added.set(key, { key, cell });
    else if (other.slice.text !== cell.slice.text && meaningOf(other.entry) !== meaningOf(cell.entry)) {
      changes.push({ is: 'changed', name: key, before: other, after: cell, words: changedWords(other, cell) });
    }
  }
  const removed = [...old].filter(([key]) => !now.has(key));
  const comers = new Map([...added.values()].map(({ key, cell }) => [meaningOf(cell.entry, false), { key, cell }]));
  for (const [key, cell] of removed) {
    const same = comers.get(meaningOf(cell.entry, false));
    if (same && added.has(same.key) && kindOf(same.key) === kindOf(key)) {
      added.delete(same.key);
      changes.push({ is: 'renamed', name: same.key, from: key, before: cell, after: same.cell });
    } else changes.push({ is: 'removed', name: key, before: cell });
  }
  for (const { key, cell } of added.values()) changes.push({ is: 'added', name: key, after: cell });
  return changes.sort((a, b) => (a.name < b.name ? -1 : a.name > b.name ? 1 : 0));
}

const kindOf = (key: string): string => key.slice(0, key.indexOf(':'));

/** Entries by their name; the `book` entry, which has none, as `book:`. Of two of one name the first counts, as everywhere. */
function byKey(book: Book): Map<string, EntryCell> {
  const found = new Map<string, EntryCell>();
  for (const cell of book.cells()) {
    const key = cell.name ?? (cell.entry.kind === 'book' ? 'book:' : undefined);
    if (key && !found.has(key)) found.set(key, cell);
  }
  return found;
}

/** The words whose lines differ. */
function changedWords(before: EntryCell, after: EntryCell): string[] {
  const lines = (cell: EntryCell) => new Map<string, string>(Object.entries(grouped(cell)));
  const old = lines(before);
  const now = lines(after);
  const words = new Set([...old.keys(), ...now.keys()]);
  return [...words].filter((word) => old.get(word) !== now.get(word));
}

function grouped(cell: EntryCell): Record<string, string> {
  const groups: Record<string, string> = {};
  for (const line of [...(cell.entry.head ? [cell.entry.head] : []), ...cell.entry.lines])
    groups[line.word] = `${groups[line.word] ?? ''}\n${lineMeaning(line)}`;
  return groups;
}
