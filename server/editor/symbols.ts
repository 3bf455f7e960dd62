/** The entries of a file and of the whole book, to jump to; and how they fold. */
import {
  type DocumentSymbol,
  type FoldingRange,
  FoldingRangeKind,
  SymbolKind,
  type WorkspaceSymbol,
} from 'vscode-languageserver';
import type { Span } from '../../grammar/tree.ts';
import type { EntryKind } from '../../grammar/words.ts';
import type { Book } from '../book/book.ts';
import type { EntryCell } from '../book/cell.ts';
import type { BookFile } from '../book/file.ts';
import { inOrder } from './in-order.ts';
import { locationOf, nameSpan, rangeIn } from './places.ts';

const KIND: Record<EntryKind, SymbolKind> = {
  book: SymbolKind.Package,
  system: SymbolKind.Module,
  scale: SymbolKind.Constant,
  instrument: SymbolKind.Interface,
  toner: SymbolKind.Variable,
  letdown: SymbolKind.Variable,
  undercoat: SymbolKind.Struct,
  reading: SymbolKind.Event,
  formula: SymbolKind.Class,
  variant: SymbolKind.Method,
  sprayout: SymbolKind.File,
  drawdown: SymbolKind.File,
  batch: SymbolKind.Object,
};

export function documentSymbols(file: BookFile): DocumentSymbol[] {
  return file.cells.flatMap((cell, index) => {
    const { kind, head } = cell.entry;
    if (!kind || !head) return [];
    const trimmed = { from: head.from, to: cell.slice.text.trimEnd().length };
    return [
      {
        name: titleOf(cell),
        detail: detailOf(cell),
        kind: KIND[kind],
        range: rangeIn(file, index, trimmed),
        selectionRange: rangeIn(file, index, nameSpan(cell)),
      },
    ];
  });
}

const placeText = (cell: EntryCell, place: string): string =>
  cell.entry.head?.values.find((value) => value.place === place)?.text ?? '';
const titleOf = (cell: EntryCell): string => `${cell.entry.kind} ${placeText(cell, 'id')}`.trim();
const detailOf = (cell: EntryCell): string =>
  placeText(cell, 'name') || (placeText(cell, 'formula') && `of ${placeText(cell, 'formula')}`);

const MOST = 500;

/** Entries whose id or name holds the letters asked for, in their order; those whose id begins with them come first. */
export function workspaceSymbols(books: readonly Book[], query: string): WorkspaceSymbol[] {
  const letters = query.replaceAll(/\s/g, '');
  const first: EntryCell[] = [];
  const others: EntryCell[] = [];
  for (const book of books) {
    for (const cell of book.cells()) {
      if (first.length >= MOST) break;
      if (!cell.entry.kind || !inOrder(letters, symbolName(cell))) continue;
      const begins = placeText(cell, 'id').toLowerCase().startsWith(letters.toLowerCase());
      if (begins) first.push(cell);
      else if (others.length < MOST) others.push(cell);
    }
  }
  return [...first, ...others].slice(0, MOST).map((cell) => ({
    name: symbolName(cell),
    kind: KIND[cell.entry.kind!],
    location: locationOf(cell, nameSpan(cell)),
  }));
}

const symbolName = (cell: EntryCell): string => `${titleOf(cell)} ${detailOf(cell)}`.trim();

/** Entries, lists of several lines, and blocks of comment lines. */
export function foldingRanges(file: BookFile): FoldingRange[] {
  return file.cells.flatMap((cell, index) => {
    const { head, lines, comments } = cell.entry;
    const { text } = cell.slice;
    const lineOf = (offset: number) => file.positionOf(index, offset).line;
    const blocks = commentBlocks(text, comments).map((block) => ({ ...block, kind: FoldingRangeKind.Comment }));
    return [...(head ? [{ from: head.from, to: text.trimEnd().length }] : []), ...lines, ...blocks].flatMap((one) => {
      const startLine = lineOf(one.from);
      const endLine = lineOf(one.to);
      return endLine > startLine ? [{ startLine, endLine, ...('kind' in one ? { kind: one.kind } : {}) }] : [];
    });
  });
}

/** Comment lines with nothing but a line end and blanks between them. */
function commentBlocks(text: string, comments: readonly Span[]): Span[] {
  const blocks: { from: number; to: number }[] = [];
  for (const { from, to } of comments) {
    const last = blocks.at(-1);
    if (last && /^\r?\n[ \t]*$/.test(text.slice(last.to, from))) last.to = to;
    else blocks.push({ from, to });
  }
  return blocks;
}
