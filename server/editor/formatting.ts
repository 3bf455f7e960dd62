/** Formatting by small edits, entry by entry; an entry with an error is left alone. */
import type { Range, TextEdit } from 'vscode-languageserver';
import { formatEntry } from '../../grammar/printer.ts';
import type { BookFile } from '../book/file.ts';
import { rangeIn } from './places.ts';

export function formatting(file: BookFile, range?: Range): TextEdit[] {
  if (file.cells.length === 0) return [];
  const first = range ? file.indexAtLine(range.start.line) : 0;
  const last = range ? file.indexAtLine(range.end.line) : file.cells.length - 1;
  const edits: TextEdit[] = [];
  for (let index = first; index <= last; index++) {
    for (const edit of formatEntry(file.cells[index]!.slice))
      edits.push({ range: rangeIn(file, index, edit), newText: edit.text });
  }
  return edits;
}
