/** Where a name is defined, and every place that names it. */
import { type DocumentHighlight, DocumentHighlightKind, type Location, type Position } from 'vscode-languageserver';
import type { Span } from '../../grammar/tree.ts';
import type { Book } from '../book/book.ts';
import type { EntryCell, Name } from '../book/cell.ts';
import type { BookFile } from '../book/file.ts';
import { locationOf, nameSpan, spotAt } from './places.ts';

export interface NameAt {
  readonly name: Name;
  readonly span: Span;
  readonly index: number;
}

/** The name under a position, whether it is defined or used there. In the path of a variant's id each parent is a name of its own. */
export function nameAt(book: Book, file: BookFile, position: Position): NameAt | undefined {
  const spot = spotAt(file, position);
  if (!spot) return undefined;
  const { cell, index, offset, value } = spot;
  if (value?.type === 'new' && cell.name) {
    const stroke = cell.entry.kind === 'variant' ? value.text.indexOf('/', offset - value.from) : -1;
    if (stroke < 0) return { name: cell.name, span: value, index };
    const span = { from: value.from, to: value.from + stroke };
    return { name: `formula:${value.text.slice(0, stroke)}`, span, index };
  }
  const mention = book.mentionsIn(cell).find((one) => one.value === value);
  return mention && { name: mention.name, span: mention.value, index };
}

export function definition(book: Book, file: BookFile, position: Position): Location[] {
  const found = nameAt(book, file, position);
  return found ? book.named(found.name).map((cell) => locationOf(cell, nameSpan(cell))) : [];
}

export function references(book: Book, file: BookFile, position: Position, withDefinition: boolean): Location[] {
  const found = nameAt(book, file, position);
  if (!found) return [];
  const uses = [...book.usersOf(found.name)].flatMap((cell) => usesIn(book, cell, found.name));
  const defined = withDefinition ? book.named(found.name).map((cell) => locationOf(cell, nameSpan(cell))) : [];
  return [...defined, ...uses];
}

const usesIn = (book: Book, cell: EntryCell, name: Name): Location[] =>
  book
    .mentionsIn(cell)
    .filter((mention) => mention.name === name)
    .map((mention) => locationOf(cell, mention.value));

/** Where the name under a position stands in its file: written where it is defined, read where it is used. */
export function documentHighlights(book: Book, file: BookFile, position: Position): DocumentHighlight[] {
  const found = nameAt(book, file, position);
  if (!found) return [];
  const here = (cell: EntryCell) => cell.file === file;
  const defined = book.named(found.name).filter(here);
  const users = [...book.usersOf(found.name)].filter(here);
  return [
    ...defined.map((cell) => ({ range: locationOf(cell, nameSpan(cell)).range, kind: DocumentHighlightKind.Write })),
    ...users
      .flatMap((cell) => usesIn(book, cell, found.name))
      .map(({ range }) => ({ range, kind: DocumentHighlightKind.Read })),
  ];
}
