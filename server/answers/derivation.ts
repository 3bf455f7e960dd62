/** What a derivation is: a figure, and the steps that lead back to the lines in which its inputs are written. */
import type { Line } from '../../grammar/tree.ts';
import type { EntryCell } from '../book/cell.ts';
import type { Origin } from '../book/recipe.ts';

export interface Step {
  readonly text: string;
  /** file:line where it is written. */
  readonly place?: string;
}

export interface Derivation {
  readonly figure: string;
  readonly value: string;
  readonly basis: 'written' | 'computed' | 'measured' | 'default';
  readonly steps: readonly Step[];
}

/** File name and line (from 1) of a line of an entry. */
export function placeOf(cell: EntryCell, line: Line): string {
  const { file } = cell;
  const position = file.positionOf(file.indexOf(cell), line.from);
  return `${decodeURIComponent(file.uri.slice(file.uri.lastIndexOf('/') + 1))}:${position.line + 1}`;
}

/** A line as it is written, without its comment, and where. */
export const lineStep = ({ cell, line }: Origin): Step => ({
  text: cell.slice.text.slice(line.from, line.comment?.from ?? line.to).trim(),
  place: placeOf(cell, line),
});

/** An entry that a figure is of, by its head. */
export const headStep = (text: string, cell: EntryCell): Step => ({
  text,
  ...(cell.entry.head ? { place: placeOf(cell, cell.entry.head) } : {}),
});
