/** Where a name is defined, and every place that names it. */
import type { Location, Position } from 'vscode-languageserver';
import type { Book } from '../book/book.ts';
import type { Name } from '../book/cell.ts';
import type { BookFile } from '../book/file.ts';
import { locationOf, nameSpan, spotAt } from './places.ts';

/** The name under a position, whether it is defined or used there. */
export function nameAt(
  book: Book,
  file: BookFile,
  position: Position,
): { name: Name; span: { from: number; to: number }; index: number } | undefined {
  const spot = spotAt(file, position);
  if (!spot) return undefined;
  const { cell, index, offset } = spot;
  // A variant's id holds its parent's path: the shortest mention under the pointer is the one meant.
  const mentions = book.mentionsIn(cell).filter(({ value }) => value.from <= offset && offset <= value.to);
  const mention = mentions.sort((a, b) => a.value.to - a.value.from - (b.value.to - b.value.from))[0];
  if (mention) return { name: mention.name, span: mention.value, index };
  if (spot.value?.type === 'new' && cell.name) return { name: cell.name, span: spot.value, index };
  return undefined;
}

export function definition(book: Book, file: BookFile, position: Position): Location[] {
  const found = nameAt(book, file, position);
  return found ? book.named(found.name).map((cell) => locationOf(cell, nameSpan(cell))) : [];
}

export function references(book: Book, file: BookFile, position: Position, withDefinition: boolean): Location[] {
  const found = nameAt(book, file, position);
  if (!found) return [];
  const uses = [...book.usersOf(found.name)].flatMap((cell) =>
    book
      .mentionsIn(cell)
      .filter((mention) => mention.name === found.name)
      .map((mention) => locationOf(cell, mention.value)),
  );
  const defined = withDefinition ? book.named(found.name).map((cell) => locationOf(cell, nameSpan(cell))) : [];
  return [...defined, ...uses];
}
