/** Behind the toner lines of a formula what to pour at its target weight; in a batch what comes next, and how far a pour is off. */
import { type InlayHint, InlayHintKind, type Range } from 'vscode-languageserver';
import { batchHints } from '../answers/batch-hints.ts';
import { formulaPours } from '../answers/pours.ts';
import { predictedHints } from '../answers/predicted-hints.ts';
import type { Book } from '../book/book.ts';
import type { BookFile } from '../book/file.ts';

export function inlayHints(book: Book, file: BookFile, range: Range): InlayHint[] {
  const hints: InlayHint[] = [];
  const last = file.indexAtLine(range.end.line);
  for (let index = Math.max(0, file.indexAtLine(range.start.line)); index <= last; index++) {
    const cell = file.cells[index]!;
    for (const { line, text, tooltip } of [
      ...formulaPours(book, cell),
      ...predictedHints(book, cell),
      ...batchHints(book, cell),
    ]) {
      const code = line.values.at(-1)?.to ?? line.wordSpan.to;
      hints.push({
        position: file.positionOf(index, code),
        label: text,
        kind: InlayHintKind.Parameter,
        paddingLeft: true,
        tooltip,
      });
    }
  }
  return hints;
}
