/** How far the colour of a formula moved between two versions, as measured on cards and as predicted. */
import { rounded } from '../answers/number.ts';
import { differsUnder, type Pair, pairsOf } from '../answers/pairs.ts';
import type { Book } from '../book/book.ts';
import { toleranceFor } from '../book/entries/shop.ts';
import { shopOf } from '../book/known.ts';
import type { PredictedColour } from '../book/optics/predicted.ts';
import { shiftPlusMinus } from '../book/optics/shift.ts';
import { difference } from '../colour/difference.ts';
import { directionPhrase } from '../colour/direction.ts';
import type { Expected, FormulaState } from './state.ts';

export interface AngleShift {
  readonly geometry: string;
  readonly dE00: number;
  /** Of this shift (90 %), not of either colour; null for measured colours and where the fit does not tell it. */
  readonly plusMinus: number | null;
  /** Beside a measured shift, what was predicted of it; else null. */
  readonly predicted: number | null;
  /** Of the new colour from the old one. */
  readonly direction: string;
  readonly tolerance: number;
}

export interface Shift {
  readonly basis: 'measured' | 'predicted';
  /** The worst against its own tolerance first, under the main light of the new version. */
  readonly angles: readonly AngleShift[];
  readonly differs: string;
  /** The larger ± of the two predicted colours, each for itself; null for measured colours. */
  readonly plusMinus: number | null;
  readonly within: boolean;
  /** Does the ± of the shift leave it on its side of the tolerance? Null where it is not known. */
  readonly sure: boolean | null;
  /** A prediction so wide that even a hidden area would not be sure: the toners are too little known. */
  readonly doubtful: boolean;
}

/** From card to card; nothing where a version has no card of its paint, or both show the same card. */
export function measuredShift(book: Book, before: FormulaState, after: FormulaState): Shift | null {
  if (!before.card || !after.card) return null;
  const pairs = pairsOf(before.card.colours, after.card.colours, [shopOf(book).viewings[0]!]);
  return shiftOf(book, 'measured', pairs, { each: null, of: null });
}

/** A measured shift with what is predicted of it, so that a card that went astray shows. */
export function besidePredicted(measured: Shift, predicted: Shift | null): Shift {
  const foreseen = new Map(predicted?.angles.map(({ geometry, dE00 }) => [geometry, dE00]));
  return {
    ...measured,
    angles: measured.angles.map((angle) => ({ ...angle, predicted: foreseen.get(angle.geometry) ?? null })),
  };
}

export function predictedShift(book: Book, before: Expected | null, after: Expected | null): Shift | null {
  const matched = matchedColours(book, before, after);
  if (!before || !after || matched.length === 0) return null;
  const pairs = matched.map(([was, { geometry, viewing, lab }]) => ({
    geometry,
    ...viewing,
    standard: was.lab,
    sample: lab,
  }));
  const each = Math.max(...matched.flat().map(({ plusMinus }) => plusMinus));
  const of = shiftPlusMinus(before.paint, after.paint, shopOf(book).viewings[0]!);
  return shiftOf(book, 'predicted', pairs, { each: rounded(each), of: of ?? null });
}

/** The predicted colours of both at the angles that they share, under the main light of the book. */
export function matchedColours(
  book: Book,
  before: Expected | null,
  after: Expected | null,
): (readonly [PredictedColour, PredictedColour])[] {
  if (!before || !after || before.prediction.side !== after.prediction.side) return [];
  const main = shopOf(book).viewings[0]!;
  const under = ({ prediction }: Expected) =>
    prediction.colours.filter(
      ({ viewing }) => viewing.illuminant === main.illuminant && viewing.observer === main.observer,
    );
  const old = under(before);
  return under(after).flatMap((colour) => {
    const other = old.find(({ geometry }) => geometry === colour.geometry);
    return other ? [[other, colour] as const] : [];
  });
}

interface Errors {
  /** Of the less certain one of the two colours. */
  readonly each: number | null;
  /** Of the shift, by its size. */
  readonly of: ((dE00: number) => number) | null;
}

function shiftOf(book: Book, basis: Shift['basis'], pairs: readonly Pair[], { each, of }: Errors): Shift | null {
  if (pairs.length === 0) return null;
  const angles = pairs
    .map(({ geometry, standard, sample }) => {
      const dE00 = difference('dE00', standard, sample);
      return {
        geometry,
        dE00: rounded(dE00),
        plusMinus: of && rounded(of(dE00)),
        predicted: null,
        direction: directionPhrase(standard, sample),
        tolerance: toleranceFor(shopOf(book), geometry).limit,
      };
    })
    .sort((a, b) => b.dE00 / b.tolerance - a.dE00 / a.tolerance);
  const within = angles.every(({ dE00, tolerance }) => dE00 <= tolerance);
  const wide = of ? Math.max(...angles.map(({ plusMinus }) => plusMinus!)) : each;
  return {
    basis,
    angles,
    differs: differsUnder(shopOf(book).viewings[0]!, pairs),
    plusMinus: each,
    within,
    sure: of && surelySo(angles, within),
    doubtful: wide !== null && wide > toleranceFor(shopOf(book), angles[0]!.geometry, 'hidden').limit,
  };
}

const surelySo = (angles: readonly AngleShift[], within: boolean): boolean =>
  within
    ? angles.every(({ dE00, plusMinus, tolerance }) => dE00 + plusMinus! <= tolerance)
    : angles.some(({ dE00, plusMinus, tolerance }) => dE00 - plusMinus! > tolerance);
