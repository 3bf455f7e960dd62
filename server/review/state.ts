/** What one version of a book says of a formula: its toners, its colour as far as it is known, its hiding, cost and VOC. */
import { flopOf } from '../answers/flop.ts';
import { metamerismOf } from '../answers/metamerism.ts';
import { plain, undercoatSheet } from '../answers/mix.ts';
import { rounded } from '../answers/number.ts';
import { differsUnder, type Pair, pairsOf } from '../answers/pairs.ts';
import { type BookVerdict, verdictOf } from '../answers/verdict.ts';
import type { Book } from '../book/book.ts';
import { currentCard } from '../book/cards.ts';
import type { EntryCell } from '../book/cell.ts';
import { type Colours, coloursIn } from '../book/colours.ts';
import { toleranceFor } from '../book/entries/shop.ts';
import { shopOf } from '../book/known.ts';
import { costsOf } from '../book/materials.ts';
import { type Hiding, hidingIn } from '../book/optics/hiding.ts';
import {
  isPredicted,
  type Paint,
  type Prediction,
  paintOf,
  predictedIn,
  type Unpredicted,
} from '../book/optics/predicted.ts';
import { type Recipe, recipeIn } from '../book/recipe.ts';
import { everyVoc, limitOf, mostVoc, sprayedAs } from '../book/voc.ts';
import { difference } from '../colour/difference.ts';
import { type ScreenColour, screenColour } from '../colour/screen.ts';
import { toBase } from '../exact/quantity.ts';
import { productDecimal, type Rational, rational, sum } from '../exact/rational.ts';
import { shownPours } from '../paint/weights.ts';
import { hasFits } from './fits.ts';
import { type Missing, missingIn } from './missing.ts';
import { type PartBelow, partsBelow } from './undercoat.ts';

export interface TonerFigure {
  readonly coat: string;
  readonly code: string;
  readonly parts: string;
  /** The parts and those of its whole coat, exact: coats are mixed and sprayed each for itself. */
  readonly exact: Rational;
  readonly inCoat: Rational;
  /** At the target weight; null where the formula names none. */
  readonly grams: string | null;
}

export interface OffStandard {
  readonly geometry: string;
  readonly dE00: number;
  readonly tolerance: number;
}

/** A predicted colour with the paint that it is of, as one fit knows it. */
export interface Expected {
  readonly prediction: Prediction;
  readonly paint: Paint;
}

export interface FormulaState {
  readonly cell: EntryCell;
  readonly recipe: Recipe;
  /** What it names that the book does not have. */
  readonly missing: readonly Missing[];
  readonly status: string | null;
  readonly toners: readonly TonerFigure[];
  /** As it is written, and g. */
  readonly target: { readonly text: string; readonly grams: string | null } | null;
  readonly undercoat: {
    readonly id: string;
    readonly grey: string;
    readonly coloured: boolean;
    readonly pours: string;
    /** As it is mixed; empty where nothing tells it. */
    readonly parts: readonly PartBelow[];
  } | null;
  readonly standard: string | null;
  /** The card that shows the formula as it is. */
  readonly card: { readonly id: string; readonly colours: Colours } | null;
  readonly standardColours: Colours | null;
  readonly pairs: readonly Pair[];
  /** Of the card, the worst angle against its own tolerance first, under the main light. */
  readonly off: readonly OffStandard[];
  readonly differs: string;
  readonly verdict: BookVerdict | null;
  /** How far card and standard part when the light changes, at worst. */
  readonly metamerism: { readonly geometry: string; readonly illuminant: string; readonly dE00: number } | null;
  readonly flopIndex: number | null;
  readonly expected: Expected | null;
  readonly unpredicted: string | null;
  readonly coats: number | null;
  readonly bestGrey: { readonly munsellValue: number; readonly coats: number | null } | null;
  readonly voc: {
    readonly gramsPerLitre: number;
    readonly as: string;
    readonly limit: number | null;
    readonly within: boolean | null;
    readonly of: string;
  } | null;
  /** Of the target weight (else of 100 g), by currency. */
  readonly cost: {
    readonly money: readonly string[];
    readonly of: string;
    readonly unpriced: readonly string[];
  } | null;
  readonly screen: ScreenColour | null;
}

/** How soon a paint hides; it takes some tens of milliseconds to work out. */
export type HidingOf = (book: Book, cell: EntryCell) => Hiding | Unpredicted;

/** The colours of a reading or card. */
export type ColoursOf = (book: Book, cell: EntryCell) => Colours;

export function stateOf(
  book: Book,
  cell: EntryCell,
  hidingOf: HidingOf = hidingIn,
  coloursOf: ColoursOf = coloursIn,
): FormulaState {
  const recipe = recipeIn(book, cell);
  const grams = targetGrams(recipe);
  const expected = expectedIn(book, cell);
  const hiding = hasFits(book) ? hidingOf(book, cell) : UNRECORDED;
  // Without a film of known thickness coats compare with each other only.
  const counts = isPredicted(hiding) && !hiding.relative;
  const colour = measured(book, cell, recipe, coloursOf);
  const weight = grams ?? HUNDRED;
  const perPart = recipe.total.gt(0) ? weight.div(recipe.total) : undefined;
  return {
    cell,
    recipe,
    missing: missingIn(book, recipe),
    status: recipe.status ? statusText(recipe.status) : null,
    toners: tonersOf(book, recipe, grams && perPart),
    target: targetOf(recipe, grams),
    undercoat: undercoatOf(book, recipe, weight),
    standard: recipe.standard?.is ?? null,
    card: colour.card,
    standardColours: colour.standardColours,
    pairs: colour.pairs,
    off: colour.off,
    differs: colour.differs,
    verdict: colour.verdict,
    metamerism: colour.metamerism,
    flopIndex: colour.flopIndex,
    expected: 'none' in expected ? null : expected,
    unpredicted: 'none' in expected ? expected.none : null,
    coats: counts ? atBench(hiding.named?.coats) : null,
    bestGrey:
      isPredicted(hiding) && hiding.best
        ? { munsellValue: hiding.best.munsellValue, coats: counts ? atBench(hiding.best.coats) : null }
        : null,
    voc: vocOf(book, recipe),
    cost: perPart ? costOf(book, recipe, weight, perPart) : null,
    screen: screenOf(book, colour.card?.colours, 'none' in expected ? null : expected.prediction),
  };
}

/** A tenth of a coat is more than anyone sprays to. */
const atBench = (coats: number | null | undefined): number | null => (coats == null ? null : rounded(coats, 1));

/** A review learns no toners: only what is recorded beside the book comes out the same for every reviewer. */
const UNRECORDED = { none: 'no optics.lock is recorded' };

export function expectedIn(book: Book, cell: EntryCell): Expected | Unpredicted {
  if (!hasFits(book)) return UNRECORDED;
  const prediction = predictedIn(book, cell);
  if (!isPredicted(prediction)) return prediction;
  const paint = paintOf(book, recipeIn(book, cell));
  return 'none' in paint ? paint : { prediction, paint };
}

const statusText = ({ is, by, on }: NonNullable<Recipe['status']>): string =>
  [is, by && `by ${by}`, on && `on ${on}`].filter(Boolean).join(' ');

function targetGrams(recipe: Recipe): Rational | undefined {
  const target = recipe.target?.is.quantity;
  return target?.unit.dimension === 'mass' ? toBase(target) : undefined;
}

function targetOf({ target }: Recipe, grams: Rational | undefined): FormulaState['target'] {
  if (!target) return null;
  const { quantity, as } = target.is;
  return { text: `${plain(quantity.value)} ${quantity.unit.symbol} as ${as}`, grams: grams ? plain(grams) : null };
}

const HUNDRED = rational(100);

function tonersOf(book: Book, { coats, total }: Recipe, perPart: Rational | undefined): TonerFigure[] {
  const { step } = shopOf(book);
  return coats.flatMap((coat) => {
    const inCoat = coats.length === 1 ? total : sum(coat.toners.map(({ parts }) => parts));
    const pours = perPart && inCoat.gt(0) ? shownPours(coat.toners, perPart, step) : undefined;
    return coat.toners.map(
      ({ code, parts }, index): TonerFigure => ({
        coat: coat.name,
        code,
        parts: plain(parts),
        exact: parts,
        inCoat,
        grams: pours?.[index] ?? null,
      }),
    );
  });
}

function undercoatOf(book: Book, recipe: Recipe, weight: Rational): FormulaState['undercoat'] {
  const named = recipe.undercoat?.is;
  if (!named) return null;
  const grey = named.grey?.text ?? '';
  return {
    id: named.id,
    grey,
    coloured: named.coloured,
    pours: greyPours(book, recipe, weight, `${named.id} ${grey} ${plain(weight)}`),
    parts: partsBelow(book, named),
  };
}

/** Many formulas go on one grey, which takes longer to work out than all else of a formula. */
function greyPours(book: Book, recipe: Recipe, weight: Rational, key: string): string {
  const pours = () => undercoatSheet(book, recipe, weight)?.pours ?? [];
  return book
    .bookFact(
      `grey pours ${key}`,
      () =>
        pours()
          .map(({ toner, grams }) => `${toner} ${grams} g`)
          .join(', '),
      () => '',
    )
    .get();
}

type MeasuredState = Pick<
  FormulaState,
  'card' | 'standardColours' | 'pairs' | 'off' | 'differs' | 'verdict' | 'metamerism' | 'flopIndex'
>;

function measured(book: Book, cell: EntryCell, recipe: Recipe, coloursOf: ColoursOf): MeasuredState {
  const { viewings } = shopOf(book);
  const main = viewings[0]!;
  const card = currentCard(book, cell);
  const standard = recipe.standard && book.find('reading', recipe.standard.is);
  const colours = card && coloursOf(book, card.cell);
  const standardColours = standard ? coloursOf(book, standard) : null;
  const pairs = colours && standardColours ? pairsOf(standardColours, colours, [main]) : [];
  const parted = colours && standardColours ? metamerismOf(standardColours, colours, main.illuminant, viewings) : [];
  const worst = parted
    .flatMap(({ geometry, illuminant, observer, multiplicative }) =>
      multiplicative ? [{ geometry, illuminant: `${illuminant}/${observer}`, dE00: multiplicative.dE00 }] : [],
    )
    .sort((a, b) => b.dE00 - a.dE00)[0];
  return {
    card: card && colours ? { id: card.card.id, colours } : null,
    standardColours,
    pairs,
    off: offOf(book, pairs),
    differs: pairs.length > 0 ? differsUnder(main, pairs) : '',
    verdict: verdictOf(book, pairs),
    metamerism: worst ?? null,
    flopIndex: colours ? flopOf(colours, main).flopIndex : null,
  };
}

/** The worst angle against its own tolerance first. */
export const offOf = (book: Book, pairs: readonly Pair[]): OffStandard[] =>
  pairs
    .map(({ geometry, standard, sample }) => ({
      geometry,
      dE00: rounded(difference('dE00', standard, sample)),
      tolerance: toleranceFor(shopOf(book), geometry).limit,
    }))
    .sort((a, b) => b.dE00 / b.tolerance - a.dE00 / a.tolerance);

/** Of the amounts at the target weight, else of 100 g. */
function costOf(book: Book, { coats }: Recipe, weight: Rational, perPart: Rational): FormulaState['cost'] {
  const asGrams = coats.flatMap(({ toners }) => toners.map(({ code, parts }) => ({ code, grams: parts })));
  const { money, unpriced } = costsOf(book, asGrams);
  if (money.size === 0) return null;
  return {
    money: [...money].map(([currency, sum]) => `${productDecimal(sum, perPart, 2)} ${currency}`),
    of: `${plain(weight)} g`,
    unpriced,
  };
}

/** Only beside a limit that the book names, as its expectations are held: with the reducer that gives most. */
function vocOf(book: Book, recipe: Recipe): FormulaState['voc'] {
  const held = limitOf(shopOf(book));
  if (!held || recipe.total.lte(0)) return null;
  const all = everyVoc(book, recipe);
  if (all.some(({ additions, found }) => (additions && !additions.components) || !found.value)) return null;
  const most = mostVoc(all);
  const value = most.found.value!;
  return {
    gramsPerLitre: rounded(value.valueOf(), 1),
    as: sprayedAs(most),
    limit: rounded(held.limit.limit.valueOf(), 1),
    within: value.lte(held.limit.limit),
    of: `${held.id} ${held.limit.id}`,
  };
}

function screenOf(book: Book, card: Colours | undefined, prediction: Prediction | null): ScreenColour | null {
  const main = shopOf(book).viewings[0]!;
  const [pair] = card ? pairsAt45(pairsOf(card, card, [main])) : [];
  const predicted = prediction?.colours.filter(
    ({ viewing }) => viewing.illuminant === main.illuminant && viewing.observer === main.observer,
  );
  const lab = pair?.sample ?? pairsAt45(predicted ?? [])[0]?.lab;
  return lab ? screenColour(lab, main.illuminant) : null;
}

/** The angle that comes nearest to looking straight at the paint first. */
function pairsAt45<T extends { readonly geometry: string }>(all: readonly T[]): readonly T[] {
  return all.toSorted((a, b) => Number(b.geometry === '45as45') - Number(a.geometry === '45as45'));
}
