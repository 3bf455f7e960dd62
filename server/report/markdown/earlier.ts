/** What something was in an earlier version of the book, for hover. */
import type { Line, Value } from '../../../grammar/tree.ts';
import { type FormulaAnswer, show } from '../../answers/show.ts';
import type { Book } from '../../book/book.ts';
import type { EntryCell } from '../../book/cell.ts';
import { sameLine, sameValue } from '../../review/same-line.ts';
import { differencePart, escapeMd } from './card.ts';
import { predictedPart } from './predicted.ts';

/** `At HEAD: **22.60** parts`; nothing where the figure was the same. */
export function earlierFigure(
  label: string,
  before: EntryCell,
  now: EntryCell,
  line: Line,
  value: Value,
): string | undefined {
  const was = sameLine(now.entry, line, before.entry);
  const old = was && sameValue(line, value, was);
  if (!old) return isFigure(value) && line.row?.repeat === 'keyed' && !was ? `${at(label)} not in it` : undefined;
  if (said(old) === said(value)) return undefined;
  const unit = line.word === 'toner' && value.place === 'parts' ? ' parts' : '';
  return `${at(label)} **${escapeMd(said(old))}**${unit}`;
}

/** The figures of a formula that were others then; nothing where none was. */
export function earlierCard(
  label: string,
  [oldBook, before]: readonly [Book, EntryCell],
  [book, now]: readonly [Book, EntryCell],
): string | undefined {
  const old = figuresOf(oldBook, before);
  const present = figuresOf(book, now);
  const differing = old.filter((figure, index) => figure !== present[index]);
  return differing.length === 0 ? undefined : [at(label), ...differing.map((figure) => `- ${figure}`)].join('\n');
}

const at = (label: string): string => `At ${escapeMd(label)}:`;

const isFigure = ({ type }: Value): boolean => type !== 'ref' && type !== 'new' && type !== 'name';

const said = ({ text, unit }: Value): string => (unit ? `${text} ${unit}` : text);

function figuresOf(book: Book, cell: EntryCell): string[] {
  const answer = show(book, cell) as FormulaAnswer;
  return [
    `Total ${answer.total} parts${answer.target ? `; ${answer.target} g as ${answer.as}` : ''}`,
    differencePart(book, answer),
    predictedPart(book, answer).replaceAll('\n\n', ' '),
  ];
}
