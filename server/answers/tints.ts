/** Tinting by eye: what one per cent of the batch of each toner of a formula does, coat by coat. */
import type { Book } from '../book/book.ts';
import type { CoatName } from '../book/entries/formula.ts';
import { shopOf } from '../book/known.ts';
import { GRID } from '../book/optics/grid.ts';
import { type EffectPaint, filmIn, type Paint, paintOf, type SolidPaint } from '../book/optics/predicted.ts';
import type { Recipe, RecipeCoat } from '../book/recipe.ts';
import { directionPhrase } from '../colour/direction.ts';
import { viewingText } from '../colour/viewing.ts';
import { tristimulusWeights } from '../colour/weights.ts';
import { sum } from '../exact/rational.ts';
import { coatedReflectance } from '../paint/effect-coats.ts';
import { labsOfAngles } from '../paint/effect-colour.ts';
import { deltaE00, lightFor } from '../paint/light.ts';
import { colourShift } from '../paint/shift.ts';
import { rounded } from './number.ts';

/** What one per cent of the batch does. */
export interface Tint {
  /** Of a colour of several coats the one that it is added to. */
  readonly coat: CoatName | null;
  readonly toner: string;
  /** In words, at the angle nearest the gloss and at the one furthest from it; a solid colour has no flop. */
  readonly face: string;
  readonly flop: string | null;
  readonly words: string;
  /** Largest dE00 of the two, and its ± (90 %) where it is known. */
  readonly dE: number;
  readonly plusMinus: number | null;
}

/** Parts of a hundred of the batch, by weight as poured. */
const ADDED = 100;

/** As the toners are poured: a let-down counts as the let-down that it is. The coat that is seen comes first. */
export function tintsOf(book: Book, recipe: Recipe): Tint[] {
  const before = paintOf(book, recipe);
  if ('none' in before) return [];
  const upperFirst = [...recipe.coats].reverse();
  return upperFirst.flatMap((coat) =>
    coat.toners.flatMap(({ code }) => {
      const coats = recipe.coats.map((one) => (one === coat ? withMore(one, code) : one));
      const after = paintOf(book, { ...recipe, coats });
      const told = 'none' in after ? undefined : whatItDoes(book, before, after);
      return told ? [{ coat: recipe.coats.length > 1 ? coat.name : null, toner: code, ...told }] : [];
    }),
  );
}

function withMore(coat: RecipeCoat, code: string): RecipeCoat {
  const more = sum(coat.toners.map(({ parts }) => parts)).div(ADDED);
  return {
    ...coat,
    toners: coat.toners.map((toner) => (toner.code === code ? { ...toner, parts: toner.parts.add(more) } : toner)),
  };
}

type Told = Omit<Tint, 'coat' | 'toner'>;

function whatItDoes(book: Book, before: Paint, after: Paint): Told | undefined {
  if (before.side === 'solid') return after.side === 'solid' ? inSolid(book, before, after) : undefined;
  return after.side === 'effect' ? inEffect(book, before, after) : undefined;
}

function inSolid(book: Book, before: SolidPaint, after: SolidPaint): Told {
  const light = lightFor(viewingText(shopOf(book).viewings[0]!), GRID.start, GRID.step, GRID.count);
  const { fit, model } = before.optics;
  const shift = colourShift(fit, model, before, after, light);
  const words = directionPhrase(shift.before, shift.after);
  return {
    face: words,
    flop: null,
    words,
    dE: rounded(shift.dE00, 2),
    plusMinus: Number.isFinite(shift.plusMinus) ? rounded(shift.plusMinus, 2) : null,
  };
}

/** Angles from the gloss, degrees, that face and flop are nearest to. */
const FACE = 15;
const FLOP = 180;

function inEffect(book: Book, before: EffectPaint, after: EffectPaint): Told {
  const { illuminant, observer } = shopOf(book).viewings[0]!;
  const weights = tristimulusWeights(illuminant, observer, GRID.start, GRID.step, GRID.count);
  const { geometries } = before.optics.model;
  const near = (aspecular: number) =>
    geometries.reduce((a, b) => (Math.abs(b.aspecular - aspecular) < Math.abs(a.aspecular - aspecular) ? b : a));
  const model = { ...before.optics.model, geometries: [near(FACE), near(FLOP)] };
  const labs = (paint: EffectPaint) => labsOfAngles(coatedReflectance(model, filmIn(paint)), weights);
  const [was, is] = [labs(before), labs(after)];
  const [face, flop] = was.map((lab, a) => directionPhrase(lab, is[a]!)) as [string, string];
  const dE = Math.max(...was.map((lab, a) => deltaE00(lab, is[a]!)));
  return {
    face,
    flop,
    words: `face ${face}; flop ${flop}`,
    dE: rounded(dE, 2),
    plusMinus: rounded(before.optics.differences.part * dE, 2),
  };
}
