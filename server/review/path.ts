/** The path of a colour through the versions of an entry: what was measured and what was predicted after each commit. */
import { rounded } from '../answers/number.ts';
import { pairsOf } from '../answers/pairs.ts';
import type { Book } from '../book/book.ts';
import { type Colours, coloursIn } from '../book/colours.ts';
import { toleranceFor } from '../book/entries/shop.ts';
import { shopOf } from '../book/known.ts';
import { difference } from '../colour/difference.ts';
import type { Lab } from '../colour/lab.ts';
import { stateOf } from './state.ts';

export interface AngleColour {
  readonly geometry: string;
  /** Under the main light of that version. */
  readonly lab: Lab;
}

export interface PathPoint {
  readonly standard: {
    readonly id: string;
    readonly angles: readonly (AngleColour & { readonly tolerance: number })[];
  } | null;
  /** Of the card that shows the formula as it is; of a reading, itself. */
  readonly measured: { readonly card: string; readonly angles: readonly AngleColour[] } | null;
  readonly predicted: {
    /** The same for predictions by the same optics fit. */
    readonly fit: string;
    readonly angles: readonly (AngleColour & { readonly plusMinus: number })[];
  } | null;
}

/** Where a version stands; null where it has no such entry. `formula` tells which names are meant: a formula's, or a reading's. */
export function pathPoint(
  book: Book,
  { id, formula }: { readonly id: string; readonly formula: boolean },
): PathPoint | null {
  return formula ? formulaPoint(book, id) : readingPoint(book, id);
}

function formulaPoint(book: Book, id: string): PathPoint | null {
  const cell = book.find('formula', id);
  if (!cell) return null;
  const { card, standard, standardColours, expected } = stateOf(book, cell);
  const main = shopOf(book).viewings[0]!;
  return {
    standard:
      standard && standardColours
        ? {
            id: standard,
            angles: anglesOf(book, standardColours).map((one) => ({
              ...one,
              tolerance: toleranceFor(shopOf(book), one.geometry).limit,
            })),
          }
        : null,
    measured: card ? { card: card.id, angles: anglesOf(book, card.colours) } : null,
    predicted: expected
      ? {
          fit: expected.paint.learned.key,
          angles: expected.prediction.colours
            .filter(({ viewing }) => viewing.illuminant === main.illuminant && viewing.observer === main.observer)
            .map(({ geometry, lab, plusMinus }) => ({ geometry, lab: roundedLab(lab), plusMinus: rounded(plusMinus) })),
        }
      : null,
  };
}

function readingPoint(book: Book, id: string): PathPoint | null {
  const cell = book.find('reading', id) ?? book.find('sprayout', id) ?? book.find('drawdown', id);
  if (!cell) return null;
  return { standard: null, measured: { card: id, angles: anglesOf(book, coloursIn(book, cell)) }, predicted: null };
}

const anglesOf = (book: Book, colours: Colours): AngleColour[] =>
  pairsOf(colours, colours, [shopOf(book).viewings[0]!]).map(({ geometry, sample }) => ({
    geometry,
    lab: roundedLab(sample),
  }));

const roundedLab = (lab: Lab): Lab => lab.map((value) => rounded(value)) as unknown as Lab;

/** The angles at which anything of the path is known, in the order in which they come up. */
export const anglesKnown = (points: readonly PathPoint[]): string[] => [
  ...new Set(
    points.flatMap(({ measured, predicted }) =>
      [...(measured?.angles ?? []), ...(predicted?.angles ?? [])].map(({ geometry }) => geometry),
    ),
  ),
];

/** The angle at which the colour went furthest, step by step: measured where it was, else predicted. */
export function furthestAngle(points: readonly PathPoint[]): string | undefined {
  const lengths = anglesKnown(points).map((geometry) => ({ geometry, length: lengthAt(points, geometry) }));
  return lengths.reduce<(typeof lengths)[number] | undefined>((a, b) => (a && a.length >= b.length ? a : b), undefined)
    ?.geometry;
}

function lengthAt(points: readonly PathPoint[], geometry: string): number {
  const along = (of: (point: PathPoint) => readonly AngleColour[]) => {
    const labs = points.map((point) => at(of(point), geometry)?.lab).filter((lab) => lab !== undefined);
    return labs.slice(1).reduce((sum, lab, index) => sum + difference('dE00', labs[index]!, lab), 0);
  };
  return Math.max(
    along(({ measured }) => measured?.angles ?? []),
    along(({ predicted }) => predicted?.angles ?? []),
  );
}

export const at = <T extends AngleColour>(angles: readonly T[] | undefined, geometry: string): T | undefined =>
  angles?.find((one) => one.geometry === geometry);
