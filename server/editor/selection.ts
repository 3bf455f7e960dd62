/** How a selection grows: from the atom to the value, the line, the entry and the file. */
import type { Position, Range, SelectionRange } from 'vscode-languageserver';
import type { Span } from '../../grammar/tree.ts';
import type { BookFile } from '../book/file.ts';
import { rangeIn, spotAt } from './places.ts';

export const selectionRanges = (file: BookFile, positions: readonly Position[]): SelectionRange[] =>
  positions.map((position) => selectionRange(file, position));

function selectionRange(file: BookFile, position: Position): SelectionRange {
  const whole: SelectionRange = { range: wholeOf(file) };
  const spot = spotAt(file, position);
  if (!spot) return { range: { start: position, end: position } };
  const { cell, index, offset, line, value } = spot;
  const text = cell.slice.text;
  const spans: Span[] = [{ from: 0, to: text.trimEnd().length }];
  if (line)
    spans.push({ from: line.from, to: line.to }, { from: line.wordSpan.from, to: line.comment?.from ?? line.to });
  if (value) spans.push(value);
  spans.push(atomAt(text, offset));
  let selection = whole;
  for (const span of spans) {
    const trimmed = withoutBlanks(text, span);
    const range = rangeIn(file, index, trimmed);
    if (trimmed.from <= offset && offset <= trimmed.to && isInside(range, selection.range))
      selection = { range, parent: selection };
  }
  return selection;
}

const wholeOf = (file: BookFile): Range => {
  const last = file.cells.length - 1;
  return { start: { line: 0, character: 0 }, end: file.positionOf(last, file.cells[last]?.slice.text.length ?? 0) };
};

function atomAt(text: string, offset: number): Span {
  let from = offset;
  let to = offset;
  while (from > 0 && /[^\s"]/.test(text[from - 1]!)) from--;
  while (to < text.length && /[^\s"]/.test(text[to]!)) to++;
  return { from, to };
}

function withoutBlanks(text: string, { from, to }: Span): Span {
  const piece = text.slice(from, to);
  const start = from + (piece.length - piece.trimStart().length);
  return { from: start, to: Math.max(start, from + piece.trimEnd().length) };
}

/** Inside and smaller. */
function isInside(inner: Range, outer: Range): boolean {
  const startsLater = isBefore(outer.start, inner.start);
  const endsSooner = isBefore(inner.end, outer.end);
  return !isBefore(inner.start, outer.start) && !isBefore(outer.end, inner.end) && (startsLater || endsSooner);
}

const isBefore = (a: Position, b: Position): boolean =>
  a.line < b.line || (a.line === b.line && a.character < b.character);
