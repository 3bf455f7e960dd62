/** What is poured before the colour: the undercoat mixed to its grey, or a coloured undercoat by its formula, and what lies below that. */
import { coloursBelow } from '../book/below.ts';
import type { Book } from '../book/book.ts';
import { type NamedUndercoat, undercoatWords } from '../book/entries/formula.ts';
import { shopOf, systemNamed, undercoatNamed } from '../book/known.ts';
import { additionsOf } from '../book/ready.ts';
import { type Recipe, recipeNamed } from '../book/recipe.ts';
import { decimal, placesOf, type Rational } from '../exact/rational.ts';
import type { Booth } from '../paint/ready.ts';
import { type Part, pourSheet, scaleTo } from '../paint/weights.ts';
import type { PourRow } from './mix.ts';
import { rounded } from './number.ts';
import { type ReadyAnswer, readyAnswer } from './ready.ts';
import { greyFigures, greyRecipe } from './undercoat.ts';

export interface UndercoatSheet {
  /** Id of the undercoat, or of the formula of a coloured one. */
  readonly undercoat: string;
  /** Empty for a coloured undercoat. */
  readonly grey: string;
  /** Whether `undercoat` names a formula. */
  readonly coloured: boolean;
  /** null for a coloured undercoat. */
  readonly munsellValue: number | null;
  readonly lightness: number | null;
  /** measured: a listed step; interpolated: between measured steps; assumed: only the two ends were measured; formula: by its parts. */
  readonly basis: 'measured' | 'interpolated' | 'assumed' | 'formula' | undefined;
  readonly weight: string | undefined;
  readonly pours: readonly Omit<PourRow, 'coat'>[];
  /** Why there are no pours. */
  readonly problem: string | undefined;
  readonly coats: string | undefined;
  readonly recoat: { readonly after: string; readonly within: string | undefined } | undefined;
  /** Its ratio of hardener and reducer, where its system states one. */
  readonly readyToSpray: ReadyAnswer | null;
  /** What a coloured undercoat goes on in its turn: it is poured and sprayed before it. */
  readonly below: UndercoatSheet | null;
}

/** As the book writes it: `SEAL grey N5` or `formula PNK-1`. */
export const sheetWords = ({
  undercoat,
  grey,
  coloured,
}: Pick<UndercoatSheet, 'undercoat' | 'grey'> & { readonly coloured?: boolean }): string =>
  coloured ? `formula ${undercoat}` : `${undercoat} grey ${grey}`;

/** Undercoats from the one that is sprayed first. */
export const undercoatsInOrder = (sheet: UndercoatSheet | null): UndercoatSheet[] =>
  sheet ? [...undercoatsInOrder(sheet.below), sheet] : [];

export function undercoatSheet(
  book: Book,
  recipe: Recipe,
  weight: Rational,
  step: Rational = shopOf(book).step,
  booth?: Booth,
): UndercoatSheet | null {
  const named = recipe.undercoat?.is;
  if (!named) return null;
  const weighing: Weighing = { book, weight, step, booth };
  if (!named.coloured) return greySheet(weighing, named);
  const { ring, ids } = coloursBelow(book, recipe);
  if (ring) return withoutPours(named, `Its undercoats lead round in a ring: ${[recipe.id, ...ids].join(', ')}.`);
  return colouredSheet(weighing, named);
}

interface Weighing {
  readonly book: Book;
  readonly weight: Rational;
  readonly step: Rational;
  readonly booth: Booth | undefined;
}

function greySheet(weighing: Weighing, named: NamedUndercoat): UndercoatSheet | null {
  const { book } = weighing;
  if (!named.grey) return null;
  const { value, lightness } = greyFigures(named.grey);
  const mixture = greyRecipe(book, named.id, named.grey);
  const undercoat = undercoatNamed(book, named.id);
  const figures = { munsellValue: rounded(value, 2), lightness: rounded(lightness, 2) };
  const sprayed = { coats: undercoat?.coats, recoat: undercoat?.recoat };
  if (typeof mixture === 'string') return { ...withoutPours(named, mixture), ...figures, ...sprayed };
  return {
    ...withoutPours(named, undefined),
    ...figures,
    ...sprayed,
    basis: mixture.basis,
    ...poured(weighing, mixture.toners, undercoat?.system),
  };
}

function colouredSheet(weighing: Weighing, named: NamedUndercoat): UndercoatSheet {
  const { book, weight, step, booth } = weighing;
  const recipe = recipeNamed(book, named.id);
  if (!recipe) return withoutPours(named, `There is no formula '${named.id}' in this book.`);
  const below = undercoatSheet(book, recipe, weight, step, booth);
  const [coat, ...others] = recipe.coats;
  const problem =
    !coat || recipe.total.lte(0)
      ? `${named.id} has no toner lines to pour.`
      : others.length > 0
        ? `${named.id} is a colour of several coats: pour it by its own sheet.`
        : undefined;
  if (problem !== undefined) return { ...withoutPours(named, problem), below };
  return {
    ...withoutPours(named, undefined),
    basis: 'formula',
    coats: coat!.coats === undefined ? undefined : String(coat!.coats),
    ...poured(weighing, coat!.toners, recipe.system?.is),
    below,
  };
}

const withoutPours = (named: NamedUndercoat, problem: string | undefined): UndercoatSheet => ({
  undercoat: named.id,
  grey: named.grey?.text ?? '',
  coloured: named.coloured,
  munsellValue: null,
  lightness: null,
  basis: undefined,
  weight: undefined,
  pours: [],
  problem,
  coats: undefined,
  recoat: undefined,
  readyToSpray: null,
  below: null,
});

/** The pours at the weight of the colour, and the hardener and reducer of the undercoat's own system. */
function poured(
  { book, weight, step, booth }: Weighing,
  parts: readonly Part[],
  systemId: string | undefined,
): Pick<UndercoatSheet, 'weight' | 'pours' | 'readyToSpray'> {
  const sheet = pourSheet(parts, weight, step);
  const system = systemId === undefined ? undefined : systemNamed(book, systemId);
  const amounts = scaleTo(parts, sheet.total);
  return {
    weight: decimal(sheet.total, placesOf(step)),
    pours: sheet.pours.map(({ code, grams, cumulative }) => ({ toner: code, grams, cumulative })),
    readyToSpray: readyAnswer(book, additionsOf(book, systemId, booth), system, amounts, step, placesOf(step)),
  };
}
