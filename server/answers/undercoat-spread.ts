/** How much undercoat an area takes: by its own film, as the colour's is by that of its system. */
import { amountsNeeded, type Covered } from '../book/amount.ts';
import type { Book } from '../book/book.ts';
import type { Film } from '../book/entries/system.ts';
import { lackingText, type MaterialsByCode, volumeSolidsOf } from '../book/materials.ts';
import { readyMix } from '../book/ready.ts';
import type { Recipe } from '../book/recipe.ts';
import { Unanswerable } from '../book/unanswerable.ts';
import { type Rational, rational } from '../exact/rational.ts';
import { unit } from '../exact/units.ts';
import { volumeNeeded } from '../paint/coverage.ts';
import type { Component } from '../paint/ready.ts';
import { type Amount, scaleTo } from '../paint/weights.ts';
import { plain } from './plain.ts';

/** g of the undercoat as poured, and how that was reached, a sentence; without grams why as much is mixed as of the colour. */
export interface Spread {
  readonly grams?: Rational;
  readonly told: string;
}

/** The undercoat as it is poured, any amount of it, and what its system adds. */
export interface GreyPaint {
  readonly code: string;
  readonly amounts: readonly Amount[];
  readonly materials?: MaterialsByCode | undefined;
  readonly components: readonly Component[] | undefined;
  readonly film: Film | undefined;
}

const asMuch = (why: string): Spread => ({ told: `As much as of the colour: ${why}.` });

export function greySpread(book: Book, { area, transfer, loss }: Covered, paint: GreyPaint): Spread {
  const { film, materials } = paint;
  if (!film)
    return asMuch(`the book does not say to what film ${paint.code} is sprayed, such as 'film 20 um in 1 coats'`);
  const one = scaleTo(
    paint.amounts.map(({ code, grams }) => ({ code, parts: grams })),
    rational(1),
  );
  const ready = readyMix(book, one, paint.components ?? [], materials);
  const added = (ready?.lines ?? []).slice(1).map(({ code, grams }) => ({ code, grams }));
  const solids = volumeSolidsOf(book, [...one, ...added], materials);
  if (!ready || 'missing' in solids) {
    const lacks = 'missing' in solids ? ` (${solids.missing.map(lackingText).join('; ')})` : '';
    return asMuch(`how far ${paint.code} goes cannot be computed${lacks}`);
  }
  const coats = rational(film.coats);
  try {
    const filmPerCoat = film.thickness.div(coats);
    const job = { area, coats, filmPerCoat, volumeSolids: solids.share, transferEfficiency: transfer };
    const millilitres = volumeNeeded({ ...job, ...(loss ? { fixedLoss: loss } : {}) });
    return { grams: millilitres.div(ready.millilitres), told: spreadText(area, film) };
  } catch (error) {
    return asMuch(`how far ${paint.code} goes cannot be computed: ${error instanceof Error ? error.message : ''}`);
  }
}

const spreadText = (area: Rational, { thickness, coats }: Film): string =>
  `For ${plain(rational(area.valueOf().toFixed(2)))} m2 at ${plain(thickness)} um dry in ${coats} ${coats === 1 ? 'coat' : 'coats'}.`;

/** A coloured undercoat goes as far as its formula does on its own. */
export function colouredSpread(
  book: Book,
  { area, transfer }: Covered,
  recipe: Recipe,
  components: readonly Component[] | undefined,
): Spread {
  const coats = recipe.coats.map((coat) => ({ coat, parts: coat.toners }));
  try {
    const quantity = { value: area, unit: unit('m2')! };
    const { weight, basis } = amountsNeeded(book, recipe, coats, components, { quantity, transfer });
    return { grams: weight, told: `For ${basis[0] ?? ''}` };
  } catch (error) {
    if (error instanceof Unanswerable || error instanceof RangeError)
      return asMuch(`how far ${recipe.id} goes cannot be computed`);
    throw error;
  }
}
