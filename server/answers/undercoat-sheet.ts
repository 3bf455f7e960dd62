/** What is poured before the colour: the undercoat mixed to its grey, or a coloured undercoat by its formula, and what lies below that. */
import type { Covered } from '../book/amount.ts';
import { coloursBelow } from '../book/below.ts';
import type { Book } from '../book/book.ts';
import type { NamedUndercoat } from '../book/entries/formula.ts';
import type { Film } from '../book/entries/system.ts';
import type { Material, Undercoat } from '../book/entries/toner.ts';
import { isOnScale } from '../book/entries/written.ts';
import { shopOf, systemNamed, undercoatNamed } from '../book/known.ts';
import { mixedOf } from '../book/materials.ts';
import { type Additions, additionsOf } from '../book/ready.ts';
import { type Recipe, recipeNamed } from '../book/recipe.ts';
import { type HeldLimit, limitOf, type Sprayed, sprayedCup, undercoatLimit } from '../book/voc.ts';
import { decimal, placesOf, type Rational, sum } from '../exact/rational.ts';
import type { Booth } from '../paint/ready.ts';
import { type Amount, type Part, pourSheet, scaleTo } from '../paint/weights.ts';
import { type CostAnswer, costAnswer } from './cost.ts';
import type { PourRow } from './mix.ts';
import { rounded } from './number.ts';
import { type ReadyAnswer, readyAnswer } from './ready.ts';
import { greyFigures, greyRecipe } from './undercoat.ts';
import { colouredSpread, greySpread, type Spread } from './undercoat-spread.ts';
import { type VocAnswer, vocAnswer } from './voc.ts';

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
  /** Where an area was asked for: how the weight was reached, or why as much is mixed as of the colour. */
  readonly spread: string | null;
  readonly pours: readonly Omit<PourRow, 'coat'>[];
  /** Why there are no pours. */
  readonly problem: string | undefined;
  readonly coats: string | undefined;
  readonly recoat: { readonly after: string; readonly within: string | undefined } | undefined;
  /** Its ratio of hardener and reducer, where its system states one. */
  readonly readyToSpray: ReadyAnswer | null;
  /** Against the limit for undercoats; of a coloured one against that for colours. Null where nothing is poured. */
  readonly voc: VocAnswer | null;
  /** Of the undercoat as poured. */
  readonly cost: CostAnswer | null;
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

/** An undercoat as it is poured and made ready, exact; nothing is in it where it has a problem. */
export interface UndercoatCup {
  readonly sheet: UndercoatSheet;
  /** Toners, and what makes it ready to spray. */
  readonly amounts: readonly Amount[];
  readonly sprayed: Sprayed | undefined;
  readonly below: UndercoatCup | null;
}

export const undercoatSheet = (
  book: Book,
  recipe: Recipe,
  weight: Rational,
  step: Rational = shopOf(book).step,
  booth?: Booth,
): UndercoatSheet | null => undercoatCup(book, recipe, weight, step, booth)?.sheet ?? null;

export function undercoatCup(
  book: Book,
  recipe: Recipe,
  weight: Rational,
  step: Rational,
  booth: Booth | undefined,
  covered?: Covered,
): UndercoatCup | null {
  const named = recipe.undercoat?.is;
  if (!named) return null;
  const weighing: Weighing = { book, weight, step, booth, covered };
  if (!named.coloured) return greyCup(weighing, named);
  const { ring, ids } = coloursBelow(book, recipe);
  if (ring)
    return empty(withoutPours(named, `Its undercoats lead round in a ring: ${[recipe.id, ...ids].join(', ')}.`));
  return colouredCup(weighing, named);
}

/** Cups from the one that is sprayed first. */
export const undercoatCupsInOrder = (cup: UndercoatCup | null): UndercoatCup[] =>
  cup ? [...undercoatCupsInOrder(cup.below), cup] : [];

interface Weighing {
  readonly book: Book;
  readonly weight: Rational;
  readonly step: Rational;
  readonly booth: Booth | undefined;
  readonly covered: Covered | undefined;
}

function greyCup(weighing: Weighing, named: NamedUndercoat): UndercoatCup | null {
  const { book } = weighing;
  if (!named.grey) return null;
  const mixture = greyRecipe(book, named.id, named.grey);
  if (typeof mixture === 'string' && !isOnScale(named.grey)) return empty(withoutPours(named, mixture));
  const { value, lightness } = greyFigures(named.grey);
  const undercoat = undercoatNamed(book, named.id);
  const figures = { munsellValue: rounded(value, 2), lightness: rounded(lightness, 2) };
  const sprayed = { coats: undercoat?.coats, recoat: undercoat?.recoat };
  if (typeof mixture === 'string') return empty({ ...withoutPours(named, mixture), ...figures, ...sprayed });
  const sheet = { ...withoutPours(named, undefined), ...figures, ...sprayed, basis: mixture.basis };
  const limit = undercoatLimit(shopOf(book));
  return poured(weighing, sheet, {
    parts: mixture.toners,
    own: undercoat && ownFigures(book, undercoat, mixture.toners),
    system: undercoat?.system,
    film: undercoat?.film,
    held: limit?.held,
    category: limit?.category,
  });
}

/** An undercoat whose data sheet is of the whole: its figures count, those that it lacks come from its toners. */
function ownFigures(book: Book, undercoat: Undercoat, madeOf: readonly Part[]): Material | undefined {
  const { density, solids, water, exempt, voc, price } = undercoat;
  const states = [density, solids, water, exempt, voc, price].some((figure) => figure !== undefined);
  return states ? { ...undercoat, ...mixedOf(book, undercoat, madeOf) } : undefined;
}

function colouredCup(weighing: Weighing, named: NamedUndercoat): UndercoatCup {
  const { book, weight, step, booth, covered } = weighing;
  const recipe = recipeNamed(book, named.id);
  if (!recipe) return empty(withoutPours(named, `There is no formula '${named.id}' in this book.`));
  const below = undercoatCup(book, recipe, weight, step, booth, covered);
  const [coat, ...others] = recipe.coats;
  const problem =
    !coat || recipe.total.lte(0)
      ? `${named.id} has no toner lines to pour.`
      : others.length > 0
        ? `${named.id} is a colour of several coats: pour it by its own sheet.`
        : undefined;
  if (problem !== undefined) return empty({ ...withoutPours(named, problem), below: below?.sheet ?? null }, below);
  const shop = shopOf(book);
  const sheet = {
    ...withoutPours(named, undefined),
    basis: 'formula' as const,
    coats: coat!.coats === undefined ? undefined : String(coat!.coats),
    below: below?.sheet ?? null,
  };
  const made = {
    parts: coat!.toners,
    recipe,
    system: recipe.system?.is,
    held: limitOf(shop),
    category: shop.voc?.category,
  };
  return { ...poured(weighing, sheet, made), below };
}

const withoutPours = (named: NamedUndercoat, problem: string | undefined): UndercoatSheet => ({
  undercoat: named.id,
  grey: named.grey?.text ?? '',
  coloured: named.coloured,
  munsellValue: null,
  lightness: null,
  basis: undefined,
  weight: undefined,
  spread: null,
  pours: [],
  problem,
  coats: undefined,
  recoat: undefined,
  readyToSpray: null,
  voc: null,
  cost: null,
  below: null,
});

const empty = (sheet: UndercoatSheet, below: UndercoatCup | null = null): UndercoatCup => ({
  sheet,
  amounts: [],
  sprayed: undefined,
  below,
});

interface Made {
  readonly parts: readonly Part[];
  /** Figures of the undercoat as a whole. */
  readonly own?: Material | undefined;
  /** Of a coloured undercoat. */
  readonly recipe?: Recipe;
  /** Of one mixed to a grey, where the book says it. */
  readonly film?: Film | undefined;
  readonly system: string | undefined;
  readonly held: HeldLimit | undefined;
  readonly category: string | undefined;
}

/** What the area takes of it; nothing where none was asked for. */
function spreadOf(
  { book, weight, covered }: Weighing,
  code: string,
  { parts, own, recipe, film }: Made,
  components: Additions['components'],
): Spread | undefined {
  if (!covered) return undefined;
  if (recipe) return colouredSpread(book, covered, recipe, components);
  const materials = own && new Map([[code, own]]);
  const amounts = materials ? [{ code, grams: weight }] : scaleTo(parts, weight);
  return greySpread(book, covered, { code, amounts, materials, components, film });
}

/** The pours for the area, else at the weight of the colour, with hardener and reducer of the undercoat's own system, its VOC and cost. */
function poured(weighing: Weighing, sheet: UndercoatSheet, made: Made): UndercoatCup {
  const { book, step, booth } = weighing;
  const additions = additionsOf(book, made.system, booth);
  const spread = spreadOf(weighing, sheet.undercoat, made, additions?.components);
  const weight = spread?.grams ?? weighing.weight;
  const { pours, total } = pourSheet(made.parts, weight, step);
  const toners = scaleTo(made.parts, total.gt(0) ? total : weight);
  const materials = made.own && new Map([[sheet.undercoat, made.own]]);
  const paint = materials ? [{ code: sheet.undercoat, grams: sum(toners.map(({ grams }) => grams)) }] : toners;
  const sprayed = sprayedCup(book, sheet.undercoat, paint, additions?.components, materials);
  const system = made.system === undefined ? undefined : systemNamed(book, made.system);
  const regime = shopOf(book).voc?.regime;
  const named = regime === undefined ? undefined : { regime, category: made.category };
  return {
    sheet: {
      ...sheet,
      weight: decimal(total, placesOf(step)),
      spread: spread?.told ?? null,
      pours: pours.map(({ code, grams, cumulative }) => ({ toner: code, grams, cumulative })),
      readyToSpray: readyAnswer(book, additions, system, paint, step, placesOf(step), materials),
      voc: vocAnswer(book, [sprayed], additions, { held: made.held, named }),
      cost: costAnswer(book, [{ amounts: paint, ...(materials ? { materials } : {}) }]),
    },
    amounts: [...toners, ...sprayed.amounts.slice(paint.length)],
    sprayed,
    below: null,
  };
}
