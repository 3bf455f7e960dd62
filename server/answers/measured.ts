/** What was measured of an entry that has a colour. */
import type { Book } from '../book/book.ts';
import { currentCard } from '../book/cards.ts';
import type { EntryCell } from '../book/cell.ts';
import { type Colours, coloursIn } from '../book/colours.ts';
import { Unanswerable } from './subject.ts';

export interface MeasuredColours {
  readonly colours: Colours;
  /** The reading or card whose colours they are. */
  readonly of: EntryCell;
}

/** A reading's or a card's own colours, a formula's newest card that shows it as it is now. */
export function measuredColours(book: Book, cell: EntryCell): MeasuredColours {
  const { kind } = cell.entry;
  if (kind === 'reading' || kind === 'sprayout' || kind === 'drawdown')
    return { colours: coloursIn(book, cell), of: cell };
  if (kind === 'formula' || kind === 'variant') {
    const card = currentCard(book, cell);
    if (card) return { colours: coloursIn(book, card.cell), of: card.cell };
    throw new Unanswerable(
      `${plainName(cell)} is not sprayed yet: no card shows it as it is now. Compare one of its cards by the card's id.`,
    );
  }
  throw new Unanswerable(`${plainName(cell)} has no colour of its own. Name a reading, a card or a formula.`);
}

/** `SAM-31`, without the kind before it. */
export const plainName = (cell: EntryCell): string => cell.name?.slice(cell.name.indexOf(':') + 1) ?? 'This entry';
