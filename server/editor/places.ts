/** Between offsets in an entry and positions in its file. */
import type { Location, Position, Range } from 'vscode-languageserver';
import type { Line, Span, Value } from '../../grammar/tree.ts';
import type { EntryCell } from '../book/cell.ts';
import type { BookFile } from '../book/file.ts';

export function rangeIn(file: BookFile, index: number, span: Span): Range {
  return { start: file.positionOf(index, span.from), end: file.positionOf(index, span.to) };
}

export function locationOf(cell: EntryCell, span: Span): Location {
  const index = cell.file.indexOf(cell);
  return { uri: cell.file.uri, range: rangeIn(cell.file, index, span) };
}

/** The span of an entry's id, or of its word where it has none. */
export function nameSpan(cell: EntryCell): Span {
  const { head } = cell.entry;
  return head?.values.find((value) => value.place === 'id') ?? head?.wordSpan ?? { from: 0, to: 0 };
}

export interface Spot {
  readonly cell: EntryCell;
  readonly index: number;
  readonly offset: number;
  readonly line: Line | undefined;
  /** The value under the position, if one is there. */
  readonly value: Value | undefined;
}

/** What lies under a position. */
export function spotAt(file: BookFile, position: Position): Spot | undefined {
  const { index, offset } = file.locate(position);
  const cell = file.cells[index];
  if (!cell) return undefined;
  const { entry } = cell;
  const within = (span: Span) => span.from <= offset && offset <= span.to;
  const line = [...(entry.head ? [entry.head] : []), ...entry.lines].find(within);
  return { cell, index, offset, line, value: line?.values.find(within) };
}
