/** A reading or a card laid open: its colours under every light, how well its takes repeat, its flop. */
import type { Book } from '../book/book.ts';
import type { EntryCell } from '../book/cell.ts';
import { coloursIn } from '../book/colours.ts';
import { importedInto } from '../book/imported.ts';
import { measuredIn, shopOf } from '../book/known.ts';
import { type Against, againstOf } from './against.ts';
import { coloursUnder, notUnder, type ShownColour } from './colours-shown.ts';
import { type Flop, flopOf } from './flop.ts';
import { type Repeat, repeatOf, type TakeLeftOut, takesLeftOut } from './repeat.ts';
import type { Asked } from './show.ts';

export interface ReadingAnswer extends Flop, Partial<Against> {
  readonly kind: 'reading' | 'sprayout' | 'drawdown';
  readonly id: string;
  readonly name: string;
  readonly taken: string | null;
  readonly instrument: string | null;
  readonly colours: readonly ShownColour[];
  readonly repeat: Repeat;
  readonly leftOut: readonly TakeLeftOut[];
  /** What was asked for and is not there. */
  readonly notes: readonly string[];
}

export function showReading(
  book: Book,
  cell: EntryCell,
  kind: ReadingAnswer['kind'],
  { viewings = shopOf(book).viewings, against }: Asked,
): ReadingAnswer {
  const measured = importedInto(book, cell, measuredIn(book, cell));
  const colours = coloursIn(book, cell);
  const main = shopOf(book).viewings[0]!;
  return {
    kind,
    id: measured.id,
    name: measured.name,
    taken: measured.taken ?? null,
    instrument: measured.instrument ?? null,
    colours: coloursUnder(colours, viewings),
    repeat: repeatOf(colours, main),
    leftOut: takesLeftOut(measured),
    ...flopOf(colours, main),
    ...(against ? againstOf(book, { colours, of: cell }, against, viewings) : {}),
    notes: notUnder(colours, viewings),
  };
}
