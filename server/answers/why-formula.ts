/** Where the figures of a formula come from. */
import type { Line, Value } from '../../grammar/tree.ts';
import type { Book } from '../book/book.ts';
import { currentCard } from '../book/cards.ts';
import type { EntryCell } from '../book/cell.ts';
import { undercoatWords } from '../book/entries/formula.ts';
import { shopOf } from '../book/known.ts';
import { type Recipe, recipeIn, recipeNamed } from '../book/recipe.ts';
import { decimal, rational } from '../exact/rational.ts';
import { type Derivation, lineStep, placeOf, type Step } from './derivation.ts';
import { type MixAnswer, mix, plain } from './mix.ts';
import { Unanswerable } from './subject.ts';
import { whyCost, whyVoc } from './why-bench.ts';
import { whyDifference } from './why-colour.ts';
import { greySteps } from './why-grey.ts';

export const FORMULA_FIGURES: readonly string[] = [
  'total',
  'share TONER',
  'pour TONER',
  'undercoat',
  'difference',
  'voc',
  'cost',
];

export function whyFormula(book: Book, cell: EntryCell, figure: readonly string[]): Derivation | undefined {
  const [word, toner] = figure;
  const recipe = recipeIn(book, cell);
  switch (word) {
    case 'total':
      return whyTotal(recipe);
    case 'share':
      return toner === undefined ? undefined : whyShare(recipe, toner);
    case 'pour':
      return toner === undefined ? undefined : whyPour(book, cell, recipe, toner);
    case 'undercoat':
      return whyUndercoat(book, cell, recipe);
    case 'difference':
      return whyFormulaDifference(book, cell, recipe);
    case 'voc':
      return whyVoc(book, recipe);
    case 'cost':
      return whyCost(book, cell, recipe);
    default:
      return undefined;
  }
}

/** Of the parts of a toner line its pour, of the undercoat its mixture. */
export function formulaLine(book: Book, cell: EntryCell, line: Line, value: Value): Derivation | undefined {
  const recipe = recipeIn(book, cell);
  const toner = line.values.find((one) => one.place === 'toner')?.text;
  if (line.word === 'toner' && toner !== undefined && (value.place === 'parts' || value.place === 'delta')) {
    return whyPour(book, cell, recipe, toner) ?? whyShare(recipe, toner);
  }
  if (line.word === 'undercoat' && (value.place === 'grey' || value.place === 'formula'))
    return whyUndercoat(book, cell, recipe);
  return undefined;
}

function whyTotal(recipe: Recipe): Derivation {
  const toners = recipe.coats.flatMap((coat) => coat.toners);
  return {
    figure: `total of ${recipe.id}`,
    value: `${plain(recipe.total)} parts`,
    basis: 'computed',
    steps: [
      { text: `the sum of ${toners.map((toner) => plain(toner.parts)).join(' + ')}` },
      ...toners.flatMap((toner) => toner.origins.map(lineStep)),
    ],
  };
}

function tonerIn(recipe: Recipe, code: string) {
  return recipe.coats
    .flatMap((coat) => coat.toners.map((toner) => ({ coat, toner })))
    .find(({ toner }) => toner.code === code);
}

function whyShare(recipe: Recipe, code: string): Derivation | undefined {
  const found = tonerIn(recipe, code);
  if (!found || recipe.total.compare(0) <= 0) return undefined;
  const share = found.toner.parts.mul(100).div(recipe.total);
  return {
    figure: `share of ${code} in ${recipe.id}`,
    value: `${decimal(share, 2)} %`,
    basis: 'computed',
    steps: [
      { text: `${plain(found.toner.parts)} of ${plain(recipe.total)} parts` },
      ...found.toner.origins.map(lineStep),
    ],
  };
}

function whyPour(book: Book, cell: EntryCell, recipe: Recipe, code: string): Derivation | undefined {
  const found = tonerIn(recipe, code);
  const target = recipe.target;
  if (!found || !target) return undefined;
  const sheet = sheetOf(book, cell);
  const pour = sheet?.pours.find((one) => one.toner === code && one.coat === found.coat.name);
  if (!sheet || !pour) return undefined;
  const shop = shopOf(book);
  const exact = found.toner.parts.mul(rational(sheet.weight)).div(recipe.total);
  return {
    figure: `pour of ${code} in ${recipe.id}`,
    value: `${pour.grams} g, the scale then shows ${pour.cumulative} g`,
    basis: 'computed',
    steps: [
      {
        text: `${plain(found.toner.parts)} of ${plain(recipe.total)} parts, ${decimal(found.toner.parts.mul(100).div(recipe.total), 2)} % of ${sheet.weight} g = ${decimal(exact, 3)} g`,
      },
      {
        text: `the running column is rounded to the scale's ${sheet.scale}${shop.stated.has('scale') ? '' : ' (a default: the book names no scale)'}, what lies halfway to the larger step; a pour is the difference of two running figures`,
      },
      {
        text: target.is.line
          ? `target ${plain(target.is.quantity.value)} ${target.is.quantity.unit.symbol} as ${target.is.as}`
          : 'target',
        place: placeOf(target.from, target.is.line),
      },
      ...found.toner.origins.map(lineStep),
    ],
  };
}

function whyUndercoat(book: Book, cell: EntryCell, recipe: Recipe): Derivation | undefined {
  const named = recipe.undercoat?.is;
  if (!named || (!named.grey && !named.coloured)) return undefined;
  const { basis, steps } = named.grey ? greySteps(book, named.id, named.grey) : colouredSteps(book, named.id);
  const sheet = recipe.target && sheetOf(book, cell)?.undercoat;
  const pours = sheet?.pours.map((pour) => `${pour.toner} ${pour.grams} g`).join(', ');
  return {
    figure: `undercoat of ${recipe.id}`,
    value: undercoatWords(named),
    basis,
    steps: pours ? [...steps, { text: `for ${sheet!.weight} g: ${pours}` }] : steps,
  };
}

/** A coloured undercoat is poured by the lines of its formula. */
function colouredSteps(book: Book, id: string): { basis: 'computed'; steps: Step[] } {
  const toners = (recipeNamed(book, id)?.coats ?? []).flatMap((coat) => coat.toners);
  return { basis: 'computed', steps: toners.flatMap(({ origins }) => origins.map(lineStep)) };
}

function whyFormulaDifference(book: Book, cell: EntryCell, recipe: Recipe): Derivation {
  const card = currentCard(book, cell);
  if (recipe.standard && !card)
    throw new Unanswerable(
      `${recipe.id} has no difference: it is not sprayed yet. Spray a card, read it, and enter it with: sprayout … of ${recipe.id}`,
    );
  return whyDifference(book, recipe, card?.cell);
}

/** The pour sheet; undefined where none can be made. */
function sheetOf(book: Book, cell: EntryCell): MixAnswer | undefined {
  try {
    return mix(book, cell);
  } catch (error) {
    if (error instanceof Unanswerable) return undefined;
    throw error;
  }
}
