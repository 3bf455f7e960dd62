/** What a formula is expected to look like, how it hides, and what a little more of each toner does. */
import type { Book } from '../book/book.ts';
import type { EntryCell } from '../book/cell.ts';
import { shopOf } from '../book/known.ts';
import { liquidsOf, volumeSolidsOf } from '../book/materials.ts';
import { GRID } from '../book/optics/grid.ts';
import { type GreyCoats, type Hiding, hidingAnywhere, hidingIn } from '../book/optics/hiding.ts';
import { belowTop, type EffectPaint, type Paint, paintOf, predictedIn, thicknessOf } from '../book/optics/predicted.ts';
import { type Recipe, recipeIn } from '../book/recipe.ts';
import { directionPhrase } from '../colour/direction.ts';
import type { Lab } from '../colour/lab.ts';
import { type Viewing, viewingText } from '../colour/viewing.ts';
import { tristimulusWeights } from '../colour/weights.ts';
import { tintEffects as effectTints } from '../paint/effect-sensitivity.ts';
import { lightFor } from '../paint/light.ts';
import { tintEffects as solidTints } from '../paint/tint.ts';
import { densityOfMix } from '../paint/volume.ts';
import { rounded } from './number.ts';

export interface ShownPrediction {
  readonly geometry: string;
  readonly illuminant: string;
  readonly observer: string;
  readonly lab: Lab;
  /** dE00 that 90 % of cards of this formula fall within. */
  readonly plusMinus: number;
}

export interface ShownGrey {
  readonly undercoat?: string;
  readonly munsellValue: number;
  readonly lightness: number;
  /** null: it does not hide in 60 coats. */
  readonly coats: number | null;
}

/** What the formula goes on, and what that costs against the best grey. */
export interface NamedGrey extends ShownGrey {
  /** Of a coloured undercoat its formula; the other figures then only say how light it is. */
  readonly formula: string | null;
  /** Coats more than over the best grey, and how many times as many; null where it hides over none, or over this one not. */
  readonly moreCoats: number | null;
  readonly factor: number | null;
  /** Paint as poured that these coats take, on the panel; null while coats are relative or density or solids are missing. */
  readonly moreGramsPerSquareMetre: number | null;
}

export interface PredictedAnswer {
  readonly predicted: readonly ShownPrediction[];
  /** ready, or recomputing while the toners are learned from changed cards; none when nothing is predicted. */
  readonly predictedState: 'ready' | 'recomputing' | 'none';
  /** What the prediction holds for, or why there is none. */
  readonly predictedNote: string;
  /** Toners that the book knows too little of. */
  readonly uncertain: readonly string[];
  /** Coats to hide over the undercoat that the formula names; null when none is named or nothing is known. */
  readonly coats: number | null;
  /** No film of known thickness was read, so that coats compare with each other only. */
  readonly coatsRelative: boolean;
  readonly namedGrey: NamedGrey | null;
  /** Why nothing is said of the undercoat that the formula names. */
  readonly undercoatNote: string | null;
  readonly bestGrey: ShownGrey | null;
  /** Coats from which on films over black and over white look alike; null: not in 60, or nothing is known. */
  readonly coatsOverAny: number | null;
  /** Of one coat, over black against over white; null where it says nothing, as of a dark colour. */
  readonly contrastRatio: number | null;
  readonly tints: readonly Tint[];
}

/** What one per cent of the batch does. */
export interface Tint {
  readonly toner: string;
  /** In words, at the angle nearest the gloss and at the one furthest from it; a solid colour has no flop. */
  readonly face: string;
  readonly flop: string | null;
  readonly words: string;
  /** Largest dE00 of the two, and its ± (90 %) where it is known. */
  readonly dE: number;
  readonly plusMinus: number | null;
}

export function predictedAnswer(
  book: Book,
  cell: EntryCell,
  viewings: readonly Viewing[] = shopOf(book).viewings,
): PredictedAnswer {
  const found = predictedIn(book, cell);
  const hides = hidingIn(book, cell);
  const recipe = recipeIn(book, cell);
  const undercoat = recipe.undercoat?.is.id;
  const wanted = new Set(viewings.map(viewingText));
  const hiding = 'none' in hides ? undefined : hides;
  return {
    predicted:
      'none' in found
        ? []
        : found.colours
            .filter(({ viewing }) => wanted.has(viewingText(viewing)))
            .map(({ geometry, viewing, lab: [L, a, b], plusMinus }) => ({
              geometry,
              ...viewing,
              lab: [rounded(L, 2), rounded(a, 2), rounded(b, 2)] as const,
              plusMinus: rounded(plusMinus, 2),
            })),
    predictedState: 'none' in found ? 'none' : found.state,
    predictedNote: 'none' in found ? found.none : found.basis,
    uncertain: 'none' in found ? [] : found.uncertain,
    coats: hiding?.named?.coats == null ? null : rounded(hiding.named.coats, 1),
    coatsRelative: hiding?.relative ?? false,
    namedGrey: hiding ? namedGrey(book, recipe, hiding, undercoat) : null,
    undercoatNote: hiding && !hiding.named ? unknownBelow(book, recipe) : null,
    bestGrey: shownGrey(hiding?.best, recipe.undercoat?.is.coloured ? undefined : undercoat),
    ...anywhereOf(book, cell),
    tints: tintsOf(book, cell),
  };
}

function anywhereOf(book: Book, cell: EntryCell): Pick<PredictedAnswer, 'coatsOverAny' | 'contrastRatio'> {
  const found = hidingAnywhere(book, cell);
  if ('none' in found) return { coatsOverAny: null, contrastRatio: null };
  const { coats, contrast } = found;
  return {
    coatsOverAny: coats === null ? null : rounded(coats, 1),
    contrastRatio: contrast === undefined ? null : rounded(contrast, 3),
  };
}

/** A coloured undercoat hides only what is known of it. */
function unknownBelow(book: Book, recipe: Recipe): string | null {
  const named = recipe.undercoat?.is;
  if (!named?.coloured) return null;
  const cell = book.find('formula', named.id);
  const found = cell && predictedIn(book, cell);
  const why = !found ? 'it is not in this book' : 'none' in found ? found.none : 'its undercoats lead round in a ring';
  return `Nothing is predicted of coats over formula ${named.id}: ${why}.`;
}

function shownGrey(grey: GreyCoats | undefined, undercoat: string | undefined): ShownGrey | null {
  if (!grey) return null;
  return {
    ...(undercoat === undefined ? {} : { undercoat }),
    munsellValue: rounded(grey.munsellValue, 1),
    lightness: rounded(grey.lightness, 1),
    coats: grey.coats === null ? null : rounded(grey.coats, 1),
  };
}

function namedGrey(book: Book, recipe: Recipe, hiding: Hiding, undercoat: string | undefined): NamedGrey | null {
  const grey = shownGrey(hiding.named, undercoat);
  if (!grey) return null;
  const shown = { ...grey, formula: hiding.named?.formula ?? null };
  const [here, best] = [hiding.named?.coats, hiding.best?.coats];
  if (here == null || best == null || best <= 0)
    return { ...shown, moreCoats: null, factor: null, moreGramsPerSquareMetre: null };
  // the best grey is looked for on half steps: the named one may be better by a hair
  const more = Math.max(here - best, 0);
  const grams = hiding.relative ? undefined : gramsOfCoat(book, recipe, hiding);
  return {
    ...shown,
    moreCoats: rounded(more, 1),
    factor: rounded(Math.max(here / best, 1), 2),
    moreGramsPerSquareMetre: grams === undefined ? null : rounded(more * grams, 0),
  };
}

/** Grams as poured of one coat on a square metre, nothing lost: 1 um of wet film is 1 ml. */
function gramsOfCoat(book: Book, recipe: Recipe, { coat, film }: Hiding): number | undefined {
  const sprayed = recipe.coats.find(({ name }) => name === coat) ?? recipe.coats.at(-1);
  const amounts = (sprayed?.toners ?? []).map(({ code, parts }) => ({ code, grams: parts }));
  const solids = volumeSolidsOf(book, amounts);
  const { liquids, missing } = liquidsOf(book, amounts);
  if ('missing' in solids || missing.length > 0 || liquids.length === 0 || !solids.share.gt(0)) return undefined;
  return (film / solids.share.valueOf()) * densityOfMix(liquids).valueOf();
}

function tintsOf(book: Book, cell: EntryCell): Tint[] {
  const paint: Paint | { none: string } = paintOf(book, recipeIn(book, cell));
  if ('none' in paint) return [];
  return paint.side === 'effect' ? tintsOfEffect(book, paint) : tintsOfSolid(book, paint);
}

function tintsOfSolid(book: Book, { optics, components, surface }: Extract<Paint, { side: 'solid' }>): Tint[] {
  const light = lightFor(viewingText(shopOf(book).viewings[0]!), GRID.start, GRID.step, GRID.count);
  return solidTints(optics.fit, optics.model, { components, surface }, light).map((tint) => ({
    toner: optics.fit.toners[tint.toner]!.code,
    face: tint.words,
    flop: null,
    words: tint.words,
    dE: rounded(tint.dE00, 2),
    plusMinus: Number.isFinite(tint.plusMinus) ? rounded(tint.plusMinus, 2) : null,
  }));
}

function tintsOfEffect(book: Book, paint: EffectPaint): Tint[] {
  const { illuminant, observer } = shopOf(book).viewings[0]!;
  const weights = tristimulusWeights(illuminant, observer, GRID.start, GRID.step, GRID.count);
  const top = paint.coats.at(-1)!;
  const film = { ...top, thickness: thicknessOf(paint, top), undercoat: belowTop(paint) };
  return effectTints(paint.optics.model, film, weights).map((tint) => {
    const face = directionPhrase(tint.face.before, tint.face.after);
    const flop = directionPhrase(tint.flop.before, tint.flop.after);
    return {
      toner: top.codes[tint.toner]!,
      face,
      flop,
      words: `face ${face}; flop ${flop}`,
      dE: rounded(Math.max(tint.face.dE00, tint.flop.dE00), 2),
      plusMinus: null,
    };
  });
}
