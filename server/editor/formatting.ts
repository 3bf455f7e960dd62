/** Formatting by small edits, entry by entry; an entry with an error is left alone. */
import type { Range, TextEdit } from 'vscode-languageserver';
import { formatEntry } from '../../grammar/printer.ts';
import type { BookFile } from '../book/file.ts';
import { rangeIn } from './places.ts';

/** With a range, only its lines are changed, into what formatting the whole entry makes of them. */
export function formatting(file: BookFile, range?: Range): TextEdit[] {
  const first = range ? file.indexAtLine(range.start.line) : 0;
  const last = range ? file.indexAtLine(range.end.line) : file.cells.length - 1;
  const edits: TextEdit[] = [];
  for (let index = Math.max(0, first); index <= last; index++) {
    const { slice, entry } = file.cells[index]!;
    for (const edit of formatEntry(slice, entry)) edits.push({ range: rangeIn(file, index, edit), newText: edit.text });
  }
  if (!range) return edits;
  return edits.filter((edit) => range.start.line <= edit.range.start.line && edit.range.end.line <= range.end.line);
}
