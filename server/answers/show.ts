/** One entry laid open; the parts of each kind's answer have files of their own. */

import type { Book } from '../book/book.ts';
import type { EntryCell } from '../book/cell.ts';
import type { Viewing } from '../colour/viewing.ts';
import { type BatchAnswer, showBatch } from './batch.ts';
import { type InstrumentAnswer, showInstrument } from './instrument.ts';
import { plainName } from './measured.ts';
import { type FormulaAnswer, showFormula } from './show-formula.ts';
import { type ReadingAnswer, showReading } from './show-reading.ts';
import { Unanswerable } from './subject.ts';

export { cardDifference, type FormulaAnswer } from './show-formula.ts';
export type { ReadingAnswer } from './show-reading.ts';

export type ShowAnswer = ReadingAnswer | FormulaAnswer | InstrumentAnswer | BatchAnswer;

export interface Asked {
  /** Default: those of the book. */
  readonly viewings?: readonly Viewing[];
  /** The standard that metamerism is told against. */
  readonly against?: EntryCell;
  /** The hour at the bench, milliseconds since 1970, for a batch with hardener in it; without it the last hour that the batch says. */
  readonly now?: number;
}

/** @throws Unanswerable for entries of which nothing is computed. */
export function show(book: Book, cell: EntryCell, asked: Asked = {}): ShowAnswer {
  const { kind } = cell.entry;
  switch (kind) {
    case 'reading':
    case 'sprayout':
    case 'drawdown':
      return showReading(book, cell, kind, asked);
    case 'formula':
    case 'variant':
      return showFormula(book, cell, kind, asked);
    case 'instrument':
      return showInstrument(book, cell);
    case 'batch':
      return showBatch(book, cell, asked.now);
    default:
      throw new Unanswerable(
        `There is nothing to compute for ${plainName(cell)}. Name a reading, a card, a formula, a batch or an instrument.`,
      );
  }
}
