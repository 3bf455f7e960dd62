/** Hover: the card of what is named under the pointer, where a figure comes from, or what a word is for. */
import type { Hover, Position } from 'vscode-languageserver';
import { signature } from '../../grammar/place.ts';
import type { Row } from '../../grammar/words.ts';
import type { Book } from '../book/book.ts';
import type { BookFile } from '../book/file.ts';
import { cardOf } from '../report/markdown/card.ts';
import { earlierCard, earlierFigure } from '../report/markdown/earlier.ts';
import { whyFigure } from '../report/markdown/figure.ts';
import type { Since } from '../review/since.ts';
import { rangeIn, type Spot, spotAt } from './places.ts';

/** With `since`, what it was in the earlier version is told where that was something else. */
export function hover(book: Book, file: BookFile, position: Position, since?: Since): Hover | null {
  const spot = spotAt(file, position);
  if (!spot) return null;
  const found = contents(book, spot);
  const before = since && earlier(book, spot, since);
  const span = found?.span ?? spot.value;
  const text = [found?.text, before].filter(Boolean).join('\n\n');
  return span && text ? { contents: { kind: 'markdown', value: text }, range: rangeIn(file, spot.index, span) } : null;
}

function earlier(book: Book, { cell, line, value, offset }: Spot, since: Since): string | undefined {
  const before = since.earlier(cell);
  if (!before || !line) return undefined;
  const { book: old, label } = since.versions.before;
  if (value && value.type !== 'new' && value.type !== 'ref') return earlierFigure(label, before, cell, line, value);
  const onHead = line === cell.entry.head && (value?.type === 'new' || offset <= line.wordSpan.to);
  return onHead && since.formula(cell) ? earlierCard(label, [old, before], [book, cell]) : undefined;
}

interface Contents {
  readonly text: string;
  readonly span: { readonly from: number; readonly to: number };
}

function contents(book: Book, spot: Spot): Contents | null {
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
