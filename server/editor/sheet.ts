/** `pourbook/sheet`: the pour sheet of the entry under the cursor, for the panel beside the text. */
import { type Position, RequestType, type TextDocumentIdentifier } from 'vscode-languageserver';
import { type NoPanel, type PanelAsked, type PanelSheet, panel } from '../answers/panel.ts';
import type { Book } from '../book/book.ts';
import type { BookFile } from '../book/file.ts';

export interface SheetParams extends PanelAsked {
  readonly textDocument: TextDocumentIdentifier;
  readonly position: Position;
}

export const sheetRequest = new RequestType<SheetParams, PanelSheet | NoPanel | null, void>('pourbook/sheet');

export function sheetAt(
  book: Book,
  file: BookFile,
  { position, amount, unit }: SheetParams,
): PanelSheet | NoPanel | null {
  const cell = file.cells[file.locate(position).index];
  return cell ? panel(book, cell, { amount, unit }, Date.now()) : null;
}
