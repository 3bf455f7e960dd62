/** A colour of several coats: which number of mid coats comes nearest to the standard, predicted and as the step panel was read. */
import type { Book } from '../book/book.ts';
import { cardsOf } from '../book/cards.ts';
import type { EntryCell } from '../book/cell.ts';
import { angleAt, coloursIn, labOf } from '../book/colours.ts';
import { shopOf } from '../book/known.ts';
import { effectColours, paintOf, thicknessOf } from '../book/optics/predicted.ts';
import { type Recipe, recipeIn, sameRatios } from '../book/recipe.ts';
import { difference } from '../colour/difference.ts';
import { directionPhrase } from '../colour/direction.ts';
import type { Lab } from '../colour/lab.ts';
import { rounded } from './number.ts';

export interface StepPanel {
  readonly predicted: readonly Step[];
  readonly measured: readonly Step[];
  /** Number of mid coats that comes nearest at its worst angle: as measured where a panel was read, else as predicted. */
  readonly nearest: number | null;
  /** What one coat more than the nearest does, else one more than the formula says; null where neither is read or predicted. */
  readonly oneMore: OneMore | null;
}

export interface Step {
  readonly coats: number;
  readonly card: string | null;
  readonly worst: { readonly geometry: string; readonly dE00: number } | null;
  readonly angles: readonly { readonly geometry: string; readonly dE00: number; readonly lightness: number }[];
}

/** From one number of mid coats to one more. */
export interface OneMore {
  readonly from: number;
  readonly basis: 'measured' | 'predicted';
  readonly angles: readonly {
    readonly geometry: string;
    readonly dL: number;
    readonly dE00: number;
    readonly direction: string;
  }[];
}

const STEPS = [1, 2, 3, 4];

/** A step of the panel as colours, main light. */
interface SteppedColours {
  readonly coats: number;
  readonly card: string | null;
  readonly colours: readonly { readonly geometry: string; readonly lab: Lab }[];
}

/** null for a formula without a mid coat. */
export function stepPanel(book: Book, cell: EntryCell): StepPanel | null {
  const recipe = recipeIn(book, cell);
  const mid = recipe.coats.find((coat) => coat.name === 'mid');
  if (!mid) return null;
  const [foretold, read] = [predictedSteps(book, recipe), measuredSteps(book, cell, recipe)];
  const against = standardOf(book, recipe);
  const [predicted, measured] = [foretold, read].map((steps) => steps.map((one) => judged(one, against))) as [
    Step[],
    Step[],
  ];
  const told = (measured.length > 0 ? measured : predicted).filter((step) => step.worst !== null);
  const nearest = [...told].sort((a, b) => a.worst!.dE00 - b.worst!.dE00)[0];
  const from = nearest?.coats ?? mid.coats ?? 1;
  const oneMore = between(read, from, 'measured') ?? between(foretold, from, 'predicted');
  return { predicted, measured, nearest: nearest?.coats ?? null, oneMore: oneMore ?? null };
}

function predictedSteps(book: Book, recipe: Recipe): SteppedColours[] {
  const paint = paintOf(book, recipe);
  if ('none' in paint || paint.side !== 'effect' || paint.coats.at(-1)!.name !== 'mid') return [];
  const main = shopOf(book).viewings[0]!;
  return STEPS.map((coats) => ({
    coats,
    card: null,
    colours: effectColours(book, paint, thicknessOf(paint, paint.coats.at(-1)!, coats)).filter(
      ({ viewing }) => viewing === main,
    ),
  }));
}

/** Cards of the same coats that differ in the number of mid coats alone. */
function measuredSteps(book: Book, cell: EntryCell, recipe: Recipe): SteppedColours[] {
  const main = shopOf(book).viewings[0]!;
  return cardsOf(book, cell)
    .flatMap(({ card, cell: at }) => {
      const mid = card.coats.find((coat) => coat.name === 'mid');
      const same = card.coats.every((coat) => {
        const own = recipe.coats.find((one) => one.name === coat.name);
        return own !== undefined && sameRatios(coat.toners, own.toners);
      });
      if (mid?.coats === undefined || !same) return [];
      const read = coloursIn(book, at);
      const colours = read.angles.flatMap((angle) => {
        const lab = labOf(angle, main, read.bandpass);
        return lab ? [{ geometry: angle.geometry, lab }] : [];
      });
      return [{ coats: mid.coats, card: card.id, colours }];
    })
    .sort((a, b) => a.coats - b.coats);
}

type Standard = (geometry: string) => Lab | undefined;

function standardOf(book: Book, { standard }: Recipe): Standard {
  const cell = standard && book.find('reading', standard.is);
  if (!cell) return () => undefined;
  const colours = coloursIn(book, cell);
  return (geometry) => {
    const angle = angleAt(colours, geometry);
    return angle && labOf(angle, shopOf(book).viewings[0]!, colours.bandpass);
  };
}

function judged({ coats, card, colours }: SteppedColours, standard: Standard): Step {
  const angles = colours.flatMap(({ geometry, lab }) => {
    const wanted = standard(geometry);
    return wanted
      ? [{ geometry, dE00: rounded(difference('dE00', wanted, lab), 2), lightness: rounded(lab[0], 1) }]
      : [];
  });
  const worst = [...angles].sort((a, b) => b.dE00 - a.dE00)[0];
  return { coats, card, worst: worst ? { geometry: worst.geometry, dE00: worst.dE00 } : null, angles };
}

/** undefined unless both numbers of coats are there. */
function between(steps: readonly SteppedColours[], from: number, basis: OneMore['basis']): OneMore | undefined {
  const [before, after] = [from, from + 1].map((coats) => steps.find((one) => one.coats === coats));
  if (!before || !after) return undefined;
  const angles = before.colours.flatMap(({ geometry, lab }) => {
    const other = after.colours.find((one) => one.geometry === geometry)?.lab;
    if (!other) return [];
    const dE00 = rounded(difference('dE00', lab, other), 2);
    return [{ geometry, dL: rounded(other[0] - lab[0], 1), dE00, direction: directionPhrase(lab, other) }];
  });
  return { from, basis, angles };
}
