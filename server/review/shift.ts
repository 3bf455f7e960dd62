/** How far the colour of a formula moved between two versions, as measured on cards and as predicted. */
import { rounded } from '../answers/number.ts';
import { differsUnder, type Pair, pairsOf } from '../answers/pairs.ts';
import type { Book } from '../book/book.ts';
import { toleranceFor } from '../book/entries/shop.ts';
import { shopOf } from '../book/known.ts';
import type { Prediction } from '../book/optics/predicted.ts';
import { difference } from '../colour/difference.ts';
import { directionPhrase } from '../colour/direction.ts';
import type { FormulaState } from './state.ts';

export interface AngleShift {
  readonly geometry: string;
  readonly dE00: number;
  /** Of the new colour from the old one. */
  readonly direction: string;
  readonly tolerance: number;
}

export interface Shift {
  readonly basis: 'measured' | 'predicted';
  /** The worst against its own tolerance first, under the main light of the new version. */
  readonly angles: readonly AngleShift[];
  readonly differs: string;
  /** The larger ± of the two predictions at the worst angle; null for measured colours. */
  readonly plusMinus: number | null;
  readonly within: boolean;
  /** A prediction so wide that even a hidden area would not be sure: the toners are too little known. */
  readonly doubtful: boolean;
}

/** From card to card; nothing where a version has no card of its paint, or both show the same card. */
export function measuredShift(book: Book, before: FormulaState, after: FormulaState): Shift | null {
  if (!before.card || !after.card) return null;
  const pairs = pairsOf(before.card.colours, after.card.colours, [shopOf(book).viewings[0]!]);
  return shiftOf(book, 'measured', pairs, null);
}

export function predictedShift(book: Book, before: Prediction | null, after: Prediction | null): Shift | null {
  if (!before || !after || before.side !== after.side) return null;
  const main = shopOf(book).viewings[0]!;
  let plusMinus = 0;
  const pairs = after.colours.flatMap(({ geometry, viewing, lab, plusMinus: own }): Pair[] => {
    if (viewing.illuminant !== main.illuminant || viewing.observer !== main.observer) return [];
    const other = before.colours.find(
      (one) =>
        one.geometry === geometry &&
        one.viewing.illuminant === viewing.illuminant &&
        one.viewing.observer === viewing.observer,
    );
    if (!other) return [];
    plusMinus = Math.max(plusMinus, own, other.plusMinus);
    return [{ geometry, ...viewing, standard: other.lab, sample: lab }];
  });
  return shiftOf(book, 'predicted', pairs, rounded(plusMinus));
}

function shiftOf(book: Book, basis: Shift['basis'], pairs: readonly Pair[], plusMinus: number | null): Shift | null {
  if (pairs.length === 0) return null;
  const angles = pairs
    .map(({ geometry, standard, sample }) => ({
      geometry,
      dE00: rounded(difference('dE00', standard, sample)),
      direction: directionPhrase(standard, sample),
      tolerance: toleranceFor(shopOf(book), geometry).limit,
    }))
    .sort((a, b) => b.dE00 / b.tolerance - a.dE00 / a.tolerance);
  return {
    basis,
    angles,
    differs: differsUnder(shopOf(book).viewings[0]!, pairs),
    plusMinus,
    doubtful: plusMinus !== null && plusMinus > toleranceFor(shopOf(book), angles[0]!.geometry, 'hidden').limit,
    within: angles.every(({ dE00, tolerance }) => dE00 <= tolerance),
  };
}
