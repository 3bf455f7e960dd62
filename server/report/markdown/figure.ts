/** Where a figure under the pointer comes from, as Markdown. */
import type { Line, Value } from '../../../grammar/tree.ts';
import { derivationOf } from '../../answers/why.ts';
import type { Book } from '../../book/book.ts';
import type { EntryCell } from '../../book/cell.ts';
import { escapeMd } from './card.ts';
import { coatsPicture } from './coats.ts';

const isGreyOfFormula = ({ entry: { kind } }: EntryCell, line: Line, value: Value): boolean =>
  (kind === 'formula' || kind === 'variant') && line.word === 'undercoat' && value.place === 'grey';

export function whyFigure(book: Book, cell: EntryCell, line: Line, value: Value): string | undefined {
  const derivation = derivationOf(book, cell, line, value);
  if (!derivation) return undefined;
  const steps = derivation.steps.map(
    (step) => `- ${escapeMd(step.text)}${step.place ? ` (${escapeMd(step.place)})` : ''}`,
  );
  const told = [`**${escapeMd(derivation.figure)}** = ${escapeMd(derivation.value)}`, steps.join('\n')];
  const picture = isGreyOfFormula(cell, line, value) ? coatsPicture(book, cell) : undefined;
  return [...told, ...(picture ? [picture] : [])].join('\n\n');
}
