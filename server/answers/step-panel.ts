/** A colour of several coats: which number of mid coats comes nearest to the standard, predicted and as the step panel was read. */
import type { Book } from '../book/book.ts';
import { cardsOf } from '../book/cards.ts';
import type { EntryCell } from '../book/cell.ts';
import { angleAt, anglesInCommon, coloursIn, labOf } from '../book/colours.ts';
import { shopOf } from '../book/known.ts';
import { effectColours, paintOf, thicknessOf } from '../book/optics/predicted.ts';
import { recipeIn, sameRatios } from '../book/recipe.ts';
import { difference } from '../colour/difference.ts';
import { rounded } from './number.ts';

export interface StepPanel {
  readonly predicted: readonly Step[];
  readonly measured: readonly Step[];
  /** Number of mid coats that comes nearest at its worst angle: as measured where a panel was read, else as predicted. */
  readonly nearest: number | null;
}

export interface Step {
  readonly coats: number;
  readonly card: string | null;
  readonly worst: { readonly geometry: string; readonly dE00: number } | null;
  readonly angles: readonly { readonly geometry: string; readonly dE00: number; readonly lightness: number }[];
}

const STEPS = [1, 2, 3, 4];

/** null for a formula without a mid coat. */
export function stepPanel(book: Book, cell: EntryCell): StepPanel | null {
  const recipe = recipeIn(book, cell);
  if (!recipe.coats.some((coat) => coat.name === 'mid')) return null;
  const predicted = predictedSteps(book, cell);
  const measured = measuredSteps(book, cell);
  const judged = (measured.length > 0 ? measured : predicted).filter((step) => step.worst !== null);
  const nearest = [...judged].sort((a, b) => a.worst!.dE00 - b.worst!.dE00)[0];
  return { predicted, measured, nearest: nearest?.coats ?? null };
}

function predictedSteps(book: Book, cell: EntryCell): Step[] {
  const recipe = recipeIn(book, cell);
  const paint = paintOf(book, recipe);
  const standard = recipe.standard && book.find('reading', recipe.standard.is);
  if ('none' in paint || paint.side !== 'effect' || paint.coats.at(-1)!.name !== 'mid') return [];
  const main = shopOf(book).viewings[0]!;
  const colours = standard && coloursIn(book, standard);
  return STEPS.map((coats) => {
    const found = effectColours(book, paint, thicknessOf(paint, paint.coats.at(-1)!, coats));
    const angles = found
      .filter(({ viewing }) => viewing === main)
      .flatMap(({ geometry, lab }) => {
        const angle = colours && angleAt(colours, geometry);
        const wanted = angle && labOf(angle, main, colours.bandpass);
        return wanted
          ? [{ geometry, dE00: rounded(difference('dE00', wanted, lab), 2), lightness: rounded(lab[0], 1) }]
          : [];
      });
    return stepOf(coats, null, angles);
  });
}

/** Cards of the same coats that differ in the number of mid coats alone. */
function measuredSteps(book: Book, cell: EntryCell): Step[] {
  const recipe = recipeIn(book, cell);
  const standard = recipe.standard && book.find('reading', recipe.standard.is);
  if (!standard) return [];
  const main = shopOf(book).viewings[0]!;
  return cardsOf(book, cell)
    .flatMap(({ card, cell: at }) => {
      const mid = card.coats.find((coat) => coat.name === 'mid');
      const same = card.coats.every((coat) => {
        const own = recipe.coats.find((one) => one.name === coat.name);
        return own !== undefined && sameRatios(coat.toners, own.toners);
      });
      if (mid?.coats === undefined || !same) return [];
      const angles = anglesInCommon(coloursIn(book, standard), coloursIn(book, at), main).map((pair) => ({
        geometry: pair.geometry,
        dE00: rounded(difference('dE00', pair.standard, pair.sample), 2),
        lightness: rounded(pair.sample[0], 1),
      }));
      return [stepOf(mid.coats, card.id, angles)];
    })
    .sort((a, b) => a.coats - b.coats);
}

function stepOf(coats: number, card: string | null, angles: Step['angles']): Step {
  const worst = [...angles].sort((a, b) => b.dE00 - a.dE00)[0];
  return { coats, card, worst: worst ? { geometry: worst.geometry, dE00: worst.dE00 } : null, angles };
}
