/** The entries of a file and of the whole book, to jump to; and how they fold. */
import {
  type DocumentSymbol,
  type FoldingRange,
  FoldingRangeKind,
  SymbolKind,
  type WorkspaceSymbol,
} from 'vscode-languageserver';
import type { EntryKind } from '../../grammar/words.ts';
import type { Book } from '../book/book.ts';
import type { EntryCell } from '../book/cell.ts';
import type { BookFile } from '../book/file.ts';
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

/** Entries whose id or name holds the letters asked for, in their order. */
export function workspaceSymbols(books: readonly Book[], query: string): WorkspaceSymbol[] {
  const letters = query.toLowerCase();
  const found: WorkspaceSymbol[] = [];
  for (const book of books) {
    for (const cell of book.cells()) {
      const { kind } = cell.entry;
      const name = `${titleOf(cell)} ${detailOf(cell)}`.trim();
      if (!kind || !inOrder(letters, name.toLowerCase())) continue;
      found.push({ name, kind: KIND[kind], location: locationOf(cell, nameSpan(cell)) });
      if (found.length >= MOST) return found;
    }
  }
  return found;
}

function inOrder(letters: string, text: string): boolean {
  let at = 0;
  for (const letter of letters) {
    at = text.indexOf(letter, at) + 1;
    if (at === 0) return false;
  }
  return true;
}

export function foldingRanges(file: BookFile): FoldingRange[] {
  return file.cells.flatMap((cell, index) => {
    const { head } = cell.entry;
    const from = file.positionOf(index, head?.from ?? 0).line;
    const to = file.positionOf(index, cell.slice.text.trimEnd().length).line;
    if (to <= from) return [];
    return [{ startLine: from, endLine: to, ...(head ? {} : { kind: FoldingRangeKind.Comment }) }];
  });
}
