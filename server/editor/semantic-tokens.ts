/** What each atom is, for colouring by meaning. */
import type { Range, SemanticTokens } from 'vscode-languageserver';
import { SemanticTokensBuilder } from 'vscode-languageserver';
import type { Entry, Line } from '../../grammar/tree.ts';
import type { BookFile } from '../book/file.ts';

const TYPES = ['keyword', 'variable', 'string', 'number', 'comment', 'type', 'enumMember', 'operator'];
const MODIFIERS = ['definition'];

export const TOKEN_LEGEND = { tokenTypes: TYPES, tokenModifiers: MODIFIERS };

interface Token {
  readonly from: number;
  readonly to: number;
  readonly type: number;
  readonly modifiers: number;
}

export function semanticTokens(file: BookFile, range?: Range): SemanticTokens {
  const builder = new SemanticTokensBuilder();
  if (file.cells.length === 0) return builder.build();
  const first = range ? file.indexAtLine(range.start.line) : 0;
  const last = range ? file.indexAtLine(range.end.line) : file.cells.length - 1;
  for (let index = first; index <= last; index++) {
    const { text } = file.cells[index]!.slice;
    for (const token of tokensOf(file.cells[index]!.entry)) {
      // A token may not cross a line end; lists of numbers do.
      for (const piece of pieces(text, token)) {
        const { line, character } = file.positionOf(index, piece.from);
        builder.push(line, character, piece.to - piece.from, token.type, token.modifiers);
      }
    }
  }
  return builder.build();
}

function* pieces(text: string, token: Token): Generator<{ from: number; to: number }> {
  let from = token.from;
  for (const part of text.slice(token.from, token.to).split(/(\r?\n[ \t]*)/)) {
    if (part !== '' && !/^\r?\n/.test(part)) yield { from, to: from + part.length };
    from += part.length;
  }
}

function tokensOf(entry: Entry): Token[] {
  const tokens: Token[] = entry.comments.map((span) => token(span, 'comment'));
  for (const line of [...(entry.head ? [entry.head] : []), ...entry.lines]) tokens.push(...tokensOfLine(line));
  return tokens.sort((a, b) => a.from - b.from);
}

function tokensOfLine(line: Line): Token[] {
  const tokens: Token[] = line.row ? [token(line.wordSpan, 'keyword')] : [];
  for (const value of line.values) {
    const end = value.unitSpan && value.unitSpan.from > value.from ? value.unitSpan.from : value.to;
    const span = { from: value.from, to: Math.max(value.from + 1, trimmed(value, end)) };
    tokens.push(token(span, TYPE_OF[value.type] ?? 'enumMember', value.type === 'new'));
    if (value.unitSpan) tokens.push(token(value.unitSpan, 'type'));
  }
  for (const word of line.words) tokens.push(token(word, 'enumMember'));
  if (line.comment) tokens.push(token(line.comment, 'comment'));
  return tokens;
}

/** Without the blank between a number and its unit. */
const trimmed = (value: { from: number; text: string; to: number }, end: number): number =>
  end === value.to ? value.to : Math.min(end, value.from + value.text.length);

const TYPE_OF: Record<string, string> = {
  new: 'variable',
  ref: 'variable',
  text: 'string',
  name: 'string',
  number: 'number',
  signed: 'number',
  delta: 'number',
  count: 'number',
  quantity: 'number',
  measure: 'number',
  numbers: 'number',
  date: 'number',
  range: 'number',
  operator: 'operator',
};

const token = ({ from, to }: { from: number; to: number }, type: string, definition = false): Token => ({
  from,
  to,
  type: TYPES.indexOf(type),
  modifiers: definition ? 1 : 0,
});
