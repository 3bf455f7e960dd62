/** Two colours of the book side by side, angle by angle and light by light. The first is the standard. */

import type { Book } from '../book/book.ts';
import { currentCard } from '../book/cards.ts';
import type { EntryCell } from '../book/cell.ts';
import { type Colours, coloursIn, labOf } from '../book/colours.ts';
import { shopOf } from '../book/known.ts';
import { components, difference, type Metric } from '../colour/difference.ts';
import type { Lab } from '../colour/lab.ts';
import type { Viewing } from '../colour/viewing.ts';
import { rounded } from './number.ts';
import { Unanswerable } from './subject.ts';

export interface Pair {
  readonly geometry: string;
  readonly illuminant: string;
  readonly observer: string;
  readonly standard: Lab;
  readonly sample: Lab;
}

export interface PairDifference {
  readonly geometry: string;
  readonly illuminant: string;
  readonly observer: string;
  readonly dL: number;
  readonly da: number;
  readonly db: number;
  readonly dC: number;
  readonly dH: number;
  readonly [metric: string]: number | string;
}

export interface ComparisonAnswer {
  readonly standard: string;
  readonly sample: string;
  readonly pairs: readonly PairDifference[];
}

export const USUAL_METRICS: readonly Metric[] = ['dE76', 'dE94', 'dEcmc', 'dE00'];

/** What was measured of an entry: a reading's or a card's own colours, a formula's newest card that shows it as it is now. */
export function measuredColours(book: Book, cell: EntryCell): { colours: Colours; of: EntryCell } {
  const { kind } = cell.entry;
  if (kind === 'reading' || kind === 'sprayout' || kind === 'drawdown')
    return { colours: coloursIn(book, cell), of: cell };
  if (kind === 'formula' || kind === 'variant') {
    const card = currentCard(book, cell);
    if (card) return { colours: coloursIn(book, card.cell), of: card.cell };
    throw new Unanswerable(
      `${cell.name} is not sprayed yet: no card shows it as it is now. Compare one of its cards by the card's id.`,
    );
  }
  throw new Unanswerable(`${cell.name} has no colour of its own. Name a reading, a card or a formula.`);
}

/** Pairs at the angles and lights that both sides have. */
export function pairsOf(standard: Colours, sample: Colours, viewings: readonly Viewing[]): Pair[] {
  return standard.angles.flatMap((angle) => {
    const other = sample.angles.find((one) => one.geometry === angle.geometry);
    if (!other) return [];
    return viewings.flatMap((viewing) => {
      const a = labOf(angle, viewing, standard.bandpass);
      const b = labOf(other, viewing, sample.bandpass);
      return a && b ? [{ geometry: angle.geometry, ...viewing, standard: a, sample: b }] : [];
    });
  });
}

export function differencesOf(pair: Pair, metrics: readonly Metric[] = USUAL_METRICS): PairDifference {
  const { geometry, illuminant, observer, standard, sample } = pair;
  const { dL, da, db, dC, dH } = components(standard, sample);
  const figures = Object.fromEntries(metrics.map((metric) => [metric, rounded(difference(metric, standard, sample))]));
  return {
    geometry,
    illuminant,
    observer,
    dL: rounded(dL),
    da: rounded(da),
    db: rounded(db),
    dC: rounded(dC),
    dH: rounded(dH),
    ...figures,
  };
}

export function compare(
  book: Book,
  standard: EntryCell,
  sample: EntryCell,
  metrics = USUAL_METRICS,
  viewings = shopOf(book).viewings,
): ComparisonAnswer {
  const a = measuredColours(book, standard);
  const b = measuredColours(book, sample);
  const pairs = pairsOf(a.colours, b.colours, viewings).map((pair) => differencesOf(pair, metrics));
  if (pairs.length === 0)
    throw new Unanswerable(
      `${standard.name} and ${sample.name} have no angle and light in common, so there is nothing to compare.`,
    );
  return { standard: standard.name ?? '', sample: sample.name ?? '', pairs };
}
