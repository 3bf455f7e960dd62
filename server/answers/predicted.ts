/** What a formula is expected to look like, how it hides, and what a little more of each toner does. */
import type { Book } from '../book/book.ts';
import type { EntryCell } from '../book/cell.ts';
import { shopOf } from '../book/known.ts';
import { liquidsOf, volumeSolidsOf } from '../book/materials.ts';
import { type GreyCoats, type Hiding, hidingAnywhere, hidingIn } from '../book/optics/hiding.ts';
import { predictedIn } from '../book/optics/predicted.ts';
import { type Recipe, recipeIn } from '../book/recipe.ts';
import type { Lab } from '../colour/lab.ts';
import { type Viewing, viewingText } from '../colour/viewing.ts';
import { densityOfMix } from '../paint/volume.ts';
import { rounded } from './number.ts';
import { type Tint, tintsOf } from './tints.ts';

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
    tints: tintsOf(book, recipe),
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
