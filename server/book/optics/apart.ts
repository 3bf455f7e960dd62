/** How far two recipes are predicted to be apart, with the ± of that difference: what is wrong in both predictions cancels. */
import { viewingText } from '../../colour/viewing.ts';
import { deltaE00, lightFor } from '../../paint/light.ts';
import { colourShift } from '../../paint/shift.ts';
import type { Book } from '../book.ts';
import { shopOf } from '../known.ts';
import type { Recipe } from '../recipe.ts';
import { GRID } from './grid.ts';
import { type EffectPaint, isPredicted, paintOf, predictionOf, type SolidPaint } from './predicted.ts';

/** dE00 at the worst angle under the main light of the book. */
export interface PredictedApart {
  readonly geometry: string;
  readonly dE00: number;
  /** 9 of 10 times the difference of the two paints is within so many dE00 of it. */
  readonly plusMinus: number;
}

/** The differences of other recipes from one; undefined where its colour cannot be predicted. */
export function apartFrom(book: Book, from: Recipe): ((to: Recipe) => PredictedApart | undefined) | undefined {
  const before = paintOf(book, from);
  if ('none' in before) return undefined;
  return before.side === 'solid' ? solidApart(book, before) : effectApart(book, from, before);
}

type Compare = (to: Recipe) => PredictedApart | undefined;

function solidApart(book: Book, before: SolidPaint): Compare {
  const light = lightFor(viewingText(shopOf(book).viewings[0]!), GRID.start, GRID.step, GRID.count);
  const { fit, model } = before.optics;
  return (to) => {
    const after = paintOf(book, to);
    if ('none' in after || after.side !== 'solid' || after.optics !== before.optics) return undefined;
    const { dE00, plusMinus } = colourShift(fit, model, before, after, light);
    return { geometry: before.geometry, dE00, plusMinus };
  };
}

function effectApart(book: Book, from: Recipe, { optics }: EffectPaint): Compare {
  const main = viewingText(shopOf(book).viewings[0]!);
  const coloursOf = (recipe: Recipe) => {
    const found = predictionOf(book, recipe);
    if (!isPredicted(found) || found.side !== 'effect') return undefined;
    return found.colours.filter((one) => viewingText(one.viewing) === main);
  };
  const wanted = coloursOf(from) ?? [];
  return (to) => {
    const got = coloursOf(to);
    const all = wanted.flatMap(({ geometry, lab }) => {
      const other = got?.find((one) => one.geometry === geometry);
      return other ? [{ geometry, dE00: deltaE00(lab, other.lab) }] : [];
    });
    if (all.length === 0) return undefined;
    const worst = all.reduce((a, b) => (b.dE00 > a.dE00 ? b : a));
    return { ...worst, plusMinus: optics.differences.part * worst.dE00 };
  };
}
