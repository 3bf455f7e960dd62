/** Hover: the card of what is named under the pointer, where a figure comes from, or what a word is for. */
import type { Hover, Position } from 'vscode-languageserver';
import { signature } from '../../grammar/place.ts';
import type { Row } from '../../grammar/words.ts';
import type { Book } from '../book/book.ts';
import type { BookFile } from '../book/file.ts';
import { cardOf } from '../report/markdown/card.ts';
import { whyFigure } from '../report/markdown/figure.ts';
import { rangeIn, type Spot, spotAt } from './places.ts';

export function hover(book: Book, file: BookFile, position: Position): Hover | null {
  const spot = spotAt(file, position);
  if (!spot) return null;
  const found = contents(book, spot);
  return found && { contents: { kind: 'markdown', value: found.text }, range: rangeIn(file, spot.index, found.span) };
}

function contents(book: Book, spot: Spot): { text: string; span: { from: number; to: number } } | null {
  const { cell, line, value, offset } = spot;
  if (!line) return null;
  if (value?.type === 'new' || value?.type === 'ref') {
    const mention = value.type === 'new' ? cell.name : book.mentionsIn(cell).find((one) => one.value === value)?.name;
    const target = mention && book.named(mention)[0];
    return target ? { text: cardOf(book, target), span: value } : null;
  }
  if (value) {
    const why = whyFigure(book, cell, line, value);
    if (why) return { text: why, span: value };
  }
  const onWord = line.wordSpan.from <= offset && offset <= line.wordSpan.to;
  if (onWord && line === cell.entry.head) return { text: cardOf(book, cell), span: line.wordSpan };
  return onWord && line.row ? { text: wordHelp(line.row), span: line.wordSpan } : null;
}

export const wordHelp = (row: Row): string =>
  `**${row.word}** ${signature(row.places)}\n\n${row.help}\n\n\`\`\`pour\n${row.head ? '' : '  '}${row.example}\n\`\`\``;
