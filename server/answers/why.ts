/** Where a figure comes from: its inputs with file and line, its rule, and whether it is written, computed, measured or a default. */
import type { ValueType } from '../../grammar/place.ts';
import type { Line, Value } from '../../grammar/tree.ts';
import type { EntryKind } from '../../grammar/words.ts';
import type { Book } from '../book/book.ts';
import type { EntryCell } from '../book/cell.ts';
import { exact } from '../book/entries/written.ts';
import { toBase } from '../exact/quantity.ts';
import { type Dimension, isMetric, unit } from '../exact/units.ts';
import { type Derivation, placeOf, type Step } from './derivation.ts';
import { plainName } from './measured.ts';
import { Unanswerable } from './subject.ts';
import { BATCH_FIGURES, batchLine, whyBatch } from './why-batch.ts';
import { CARD_FIGURES, COLOUR_FIGURES, takesAt, whyCard, whyColour } from './why-colour.ts';
import { FORMULA_FIGURES, formulaLine, whyFormula } from './why-formula.ts';
import { GREY_FIGURES, greyLine, whyGrey } from './why-grey.ts';

export type { Derivation } from './derivation.ts';

/** What can be asked of a kind of entry, and of one of its lines. */
interface Answers {
  readonly figures: readonly string[];
  /** Undefined for a figure that the entry does not have. */
  readonly why: (book: Book, cell: EntryCell, figure: readonly string[]) => Derivation | undefined;
  /** Undefined for a value of which nothing is known but that it is written. */
  readonly line?: (book: Book, cell: EntryCell, line: Line, value: Value) => Derivation | undefined;
}

const formula: Answers = { figures: FORMULA_FIGURES, why: whyFormula, line: formulaLine };
const card: Answers = { figures: CARD_FIGURES, why: whyCard };

const ANSWERS: Partial<Record<EntryKind, Answers>> = {
  formula,
  variant: formula,
  reading: { figures: COLOUR_FIGURES, why: whyColour },
  sprayout: card,
  drawdown: { figures: COLOUR_FIGURES, why: whyColour },
  batch: { figures: BATCH_FIGURES, why: whyBatch, line: batchLine },
  undercoat: { figures: GREY_FIGURES, why: whyGrey, line: greyLine },
};

/** Kinds of entries that have figures, with their figures. */
export const FIGURES: readonly { readonly kind: string; readonly figures: readonly string[] }[] = [
  { kind: 'formula or variant', figures: FORMULA_FIGURES },
  { kind: 'reading or drawdown', figures: COLOUR_FIGURES },
  { kind: 'spray-out card', figures: CARD_FIGURES },
  { kind: 'batch', figures: BATCH_FIGURES },
  { kind: 'undercoat', figures: GREY_FIGURES },
];

/** @throws Unanswerable for a figure that the entry does not have. */
export function why(book: Book, cell: EntryCell, figure: string): Derivation {
  const { kind } = cell.entry;
  const answers = kind && ANSWERS[kind];
  if (!answers)
    throw new Unanswerable(
      `${plainName(cell)} has no figures that are computed. Ask of a formula, a reading, a card, a batch or an undercoat.`,
    );
  const found = answers.why(book, cell, figure.trim().split(/[\s:]+/));
  if (found) return found;
  throw new Unanswerable(
    `${plainName(cell)} has no figure '${figure}'. Ask for one of: ${answers.figures.join(', ')}.`,
  );
}

/** What hover tells of a value in a line of an entry. */
export function derivationOf(book: Book, cell: EntryCell, line: Line, value: Value): Derivation | undefined {
  const answers = cell.entry.kind && ANSWERS[cell.entry.kind];
  return answers?.line?.(book, cell, line, value) ?? asWritten(book, cell, line, value);
}

/** Kinds of places that hold a figure. */
const FIGURE_TYPES: readonly ValueType[] = [
  'number',
  'signed',
  'delta',
  'count',
  'quantity',
  'measure',
  'grey',
  'range',
  'numbers',
];

/** A figure that stands in the book as it was written: what it is for, and for a reading what becomes of it. */
function asWritten(book: Book, cell: EntryCell, line: Line, value: Value): Derivation | undefined {
  if (!line.row || !FIGURE_TYPES.includes(value.type)) return undefined;
  const geometry = line.values.find((one) => one.place === 'geometry')?.text;
  const steps: Step[] = [
    { text: line.row.help },
    { text: 'written', place: placeOf(cell, line) },
    ...convertedStep(value),
  ];
  if (geometry !== undefined && (line.word === 'lab' || line.word === 'spectrum'))
    steps.push(...takesAt(book, cell, geometry));
  const shown =
    value.type === 'numbers'
      ? `${value.numbers?.length ?? 0} values`
      : [value.text, value.unit].filter(Boolean).join(' ');
  return { figure: `${value.place} of the ${line.word} line`, value: shown, basis: 'written', steps };
}

/** What a pound, an ounce or a gallon is in the unit that is reckoned in. */
function convertedStep(value: Value): Step[] {
  const by = value.unit === undefined ? undefined : unit(value.unit);
  const base = by && !isMetric(by) ? BASES[by.dimension] : undefined;
  const number = base === undefined ? undefined : exact(value);
  if (!by || !number) return [];
  const amount = Number(toBase({ value: number, unit: by }).valueOf().toPrecision(5));
  return [{ text: `${value.text} ${by.symbol} = ${amount} ${base} (NIST Handbook 44)` }];
}

const BASES: Partial<Record<Dimension, string>> = { mass: 'g', volume: 'ml', density: 'g/ml', area: 'm2' };
