/** What each atom is, for colouring by meaning; as a whole, for a range, or as the difference to what the editor has. */
import {
  type Range,
  type SemanticTokens,
  SemanticTokensBuilder,
  type SemanticTokensDelta,
} from 'vscode-languageserver';
import { type Highlight, type HighlightKind, highlights } from '../../grammar/highlight.ts';
import type { Book } from '../book/book.ts';
import type { EntryCell } from '../book/cell.ts';
import type { BookFile } from '../book/file.ts';

const TYPES = ['keyword', 'variable', 'string', 'number', 'comment', 'type', 'enumMember'];

const TYPE_OF: Record<HighlightKind, number> = {
  word: TYPES.indexOf('keyword'),
  definition: TYPES.indexOf('variable'),
  reference: TYPES.indexOf('variable'),
  number: TYPES.indexOf('number'),
  unit: TYPES.indexOf('type'),
  text: TYPES.indexOf('string'),
  literal: TYPES.indexOf('enumMember'),
  comment: TYPES.indexOf('comment'),
};

export const TOKEN_LEGEND = { tokenTypes: TYPES, tokenModifiers: ['definition'] };

/** What was last answered for each file, so that the next answer may be the difference. */
export class TokenMemory {
  private readonly builders = new Map<string, SemanticTokensBuilder>();

  whole(book: Book, file: BookFile): SemanticTokens {
    const builder = new SemanticTokensBuilder();
    this.builders.set(file.uri, builder);
    push(builder, book, file, 0, file.cells.length - 1);
    return builder.build();
  }

  difference(book: Book, file: BookFile, previous: string): SemanticTokens | SemanticTokensDelta {
    const builder = this.builders.get(file.uri);
    if (!builder) return this.whole(book, file);
    builder.previousResult(previous);
    push(builder, book, file, 0, file.cells.length - 1);
    return builder.buildEdits();
  }

  forget(uri: string): void {
    this.builders.delete(uri);
  }
}

export function tokensInRange(book: Book, file: BookFile, range: Range): SemanticTokens {
  const builder = new SemanticTokensBuilder();
  push(builder, book, file, file.indexAtLine(range.start.line), file.indexAtLine(range.end.line));
  return builder.build();
}

function push(builder: SemanticTokensBuilder, book: Book, file: BookFile, first: number, last: number): void {
  for (let index = Math.max(0, first); index <= last; index++) {
    const cell = file.cells[index]!;
    const { text } = cell.slice;
    let line = file.lineOf(index);
    let lineStart = 0;
    for (const { from, to, kind } of highlightsOf(book, cell)) {
      for (let next = text.indexOf('\n', lineStart); next >= 0 && next < from; next = text.indexOf('\n', lineStart)) {
        line++;
        lineStart = next + 1;
      }
      builder.push(line, from - lineStart, to - from, TYPE_OF[kind], kind === 'definition' ? 1 : 0);
    }
  }
}

const highlightsOf = (book: Book, cell: EntryCell): readonly Highlight[] =>
  book
    .fact<readonly Highlight[]>(
      'highlights',
      cell,
      () => highlights(cell.slice.text, cell.entry),
      () => [],
    )
    .get();
