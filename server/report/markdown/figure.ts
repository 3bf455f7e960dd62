/** Where a figure under the pointer comes from, as Markdown. */
import type { Line, Value } from '../../../grammar/tree.ts';
import { derivationOf } from '../../answers/why.ts';
import type { Book } from '../../book/book.ts';
import type { EntryCell } from '../../book/cell.ts';
import { escapeMd } from './card.ts';

export function whyFigure(book: Book, cell: EntryCell, line: Line, value: Value): string | undefined {
  const derivation = derivationOf(book, cell, line, value);
  if (!derivation) return undefined;
  const steps = derivation.steps.map(
    (step) => `- ${escapeMd(step.text)}${step.place ? ` (${escapeMd(step.place)})` : ''}`,
  );
  return [`**${escapeMd(derivation.figure)}** = ${escapeMd(derivation.value)}`, steps.join('\n')].join('\n\n');
}
