/** Where a figure comes from: its inputs with file and line, its rule, and whether it is written, computed, measured or a default. */

import type { ValueType } from '../../grammar/place.ts';
import type { Line, Value } from '../../grammar/tree.ts';
import type { Book } from '../book/book.ts';
import { currentCard } from '../book/cards.ts';
import type { EntryCell } from '../book/cell.ts';
import { coloursIn, labOf, takesOf } from '../book/colours.ts';
import { shopOf } from '../book/known.ts';
import { type Origin, type Recipe, recipeIn } from '../book/recipe.ts';
import { repeatability } from '../colour/repeat.ts';
import { decimal, rational } from '../exact/rational.ts';
import { mix, plain } from './mix.ts';
import { cardDifference } from './show.ts';
import { Unanswerable } from './subject.ts';
import { greyFigures, greyRecipe } from './undercoat.ts';

export interface Step {
  readonly text: string;
  /** file:line where it is written. */
  readonly place?: string;
}

export interface Derivation {
  readonly figure: string;
  readonly value: string;
  readonly basis: 'written' | 'computed' | 'measured' | 'default';
  readonly steps: readonly Step[];
}

/** The figures that can be asked for: of a formula. */
export const FIGURES = ['total', 'share TONER', 'pour TONER', 'undercoat', 'difference'] as const;

/** File name and line (from 1) of a line of an entry. */
export function placeOf(cell: EntryCell, line: Line): string {
  const { file } = cell;
  const position = file.positionOf(file.indexOf(cell), line.from);
  return `${decodeURIComponent(file.uri.slice(file.uri.lastIndexOf('/') + 1))}:${position.line + 1}`;
}

/** @throws Unanswerable for a figure that the entry does not have. */
export function why(book: Book, cell: EntryCell, figure: string): Derivation {
  const [word, toner] = figure.trim().split(/[ :]+/);
  const recipe = isFormula(cell) ? recipeIn(book, cell) : undefined;
  if (!recipe) throw new Unanswerable(`Only figures of a formula or variant can be asked for: ${FIGURES.join(', ')}.`);
  const found =
    word === 'total'
      ? whyTotal(recipe)
      : word === 'share' && toner
        ? whyShare(recipe, toner)
        : word === 'pour' && toner
          ? whyPour(book, cell, recipe, toner)
          : word === 'undercoat'
            ? whyUndercoat(book, recipe)
            : word === 'difference'
              ? whyDifference(book, cell, recipe)
              : undefined;
  if (!found) throw new Unanswerable(`${recipe.id} has no figure '${figure}'. Ask for one of: ${FIGURES.join(', ')}.`);
  return found;
}

/** What hover tells of a value in a line of an entry. */
export function derivationOf(book: Book, cell: EntryCell, line: Line, value: Value): Derivation | undefined {
  return (isFormula(cell) ? ofFormula(book, cell, line, value) : undefined) ?? asWritten(book, cell, line, value);
}

/** Kinds of places that hold a figure. */
const FIGURE_TYPES: readonly ValueType[] = [
  'number',
  'signed',
  'delta',
  'count',
  'quantity',
  'measure',
  'grey',
  'range',
  'numbers',
];

/** A figure that stands in the book as it was written: what it is for, and for a reading what becomes of it. */
function asWritten(book: Book, cell: EntryCell, line: Line, value: Value): Derivation | undefined {
  if (!line.row || !FIGURE_TYPES.includes(value.type)) return undefined;
  const geometry = line.values.find((one) => one.place === 'geometry')?.text;
  const steps: Step[] = [{ text: line.row.help }, { text: 'written', place: placeOf(cell, line) }];
  if (geometry !== undefined && (line.word === 'lab' || line.word === 'spectrum'))
    steps.push(...takesAt(book, cell, geometry));
  const shown =
    value.type === 'numbers'
      ? `${value.numbers?.length ?? 0} values`
      : [value.text, value.unit].filter(Boolean).join(' ');
  return { figure: `${value.place} of the ${line.word} line`, value: shown, basis: 'written', steps };
}

/** The mean that a single take goes into, with how far the takes lie from it. */
function takesAt(book: Book, cell: EntryCell, geometry: string): Step[] {
  const viewing = shopOf(book).viewings[0]!;
  const colours = coloursIn(book, cell);
  const angle = colours.angles.find((one) => one.geometry === geometry);
  const mean = angle && labOf(angle, viewing, colours.bandpass);
  if (!angle || !mean) return [];
  const takes = takesOf(angle, viewing, colours.bandpass);
  const lab = mean.map((one) => one.toFixed(2)).join(' ');
  const light = `${viewing.illuminant}/${viewing.observer}`;
  if (takes.length < 2) return [{ text: `one take at ${geometry}: L* a* b* ${lab} under ${light}` }];
  const { mcdm } = repeatability(
    takes.map((take) => take.lab),
    mean,
  );
  return [
    {
      text: `mean of ${takes.length} takes at ${geometry}: L* a* b* ${lab} under ${light}; they lie ${mcdm.dE00.toFixed(2)} dE00 from it on average (ASTM E2214)`,
    },
  ];
}

function ofFormula(book: Book, cell: EntryCell, line: Line, value: Value): Derivation | undefined {
  const recipe = recipeIn(book, cell);
  const toner = line.values.find((one) => one.place === 'toner')?.text;
  if (line.word === 'toner' && toner !== undefined && (value.place === 'parts' || value.place === 'delta')) {
    return whyPour(book, cell, recipe, toner) ?? whyShare(recipe, toner);
  }
  if (line.word === 'undercoat' && value.place === 'grey') return whyUndercoat(book, recipe);
  return undefined;
}

const isFormula = (cell: EntryCell): boolean => cell.entry.kind === 'formula' || cell.entry.kind === 'variant';

function partSteps(origins: readonly Origin[]): Step[] {
  return origins.map(({ cell, line }) => ({
    text: cell.slice.text.slice(line.from, line.comment?.from ?? line.to).trim(),
    place: placeOf(cell, line),
  }));
}

function whyTotal(recipe: Recipe): Derivation {
  const toners = recipe.coats.flatMap((coat) => coat.toners);
  return {
    figure: `total of ${recipe.id}`,
    value: `${plain(recipe.total)} parts`,
    basis: 'computed',
    steps: [
      { text: `the sum of ${toners.map((toner) => plain(toner.parts)).join(' + ')}` },
      ...toners.flatMap((toner) => partSteps(toner.origins)),
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
    steps: [{ text: `${plain(found.toner.parts)} of ${plain(recipe.total)} parts` }, ...partSteps(found.toner.origins)],
  };
}

function whyPour(book: Book, cell: EntryCell, recipe: Recipe, code: string): Derivation | undefined {
  const found = tonerIn(recipe, code);
  const target = recipe.target;
  if (!found || !target) return undefined;
  let sheet: ReturnType<typeof mix>;
  try {
    sheet = mix(book, cell);
  } catch (error) {
    if (error instanceof Unanswerable) return undefined;
    throw error;
  }
  const pour = sheet.pours.find((one) => one.toner === code && one.coat === found.coat.name);
  if (!pour) return undefined;
  const shop = shopOf(book);
  const exact = found.toner.parts.mul(rational(sheet.weight)).div(recipe.total);
  return {
    figure: `pour of ${code} in ${recipe.id}`,
    value: `${pour.grams} g, the scale then shows ${pour.cumulative} g`,
    basis: 'computed',
    steps: [
      {
        text: `${plain(found.toner.parts)} of ${plain(recipe.total)} parts, ${decimal(exact.mul(100).div(rational(sheet.weight)), 2)} % of ${sheet.weight} g = ${decimal(exact, 3)} g`,
      },
      {
        text: `the running column is rounded to the scale's ${sheet.scale}${shop.stated.has('scale') ? '' : ' (a default: the book names no scale)'}, a pour is the difference of two running figures`,
      },
      {
        text: target.is.line
          ? `target ${plain(target.is.quantity.value)} ${target.is.quantity.unit.symbol} as ${target.is.as}`
          : 'target',
        place: placeOf(target.from, target.is.line),
      },
      ...partSteps(found.toner.origins),
    ],
  };
}

function whyUndercoat(book: Book, recipe: Recipe): Derivation | undefined {
  const named = recipe.undercoat?.is;
  if (!named?.grey) return undefined;
  const { value, lightness } = greyFigures(named.grey);
  const mixture = greyRecipe(book, named.id, named.grey);
  const steps: Step[] = [{ text: `Munsell N${value.toFixed(2)} is L* ${lightness.toFixed(2)} (ASTM D1535)` }];
  if (typeof mixture === 'string') steps.push({ text: mixture });
  else
    steps.push({
      text: `${mixture.toners.map((toner) => `${toner.code} ${plain(toner.parts)}`).join(', ')}: ${mixture.basis}`,
    });
  return {
    figure: `undercoat of ${recipe.id}`,
    value: `${named.id} grey ${named.grey.text}`,
    basis: typeof mixture !== 'string' && mixture.basis === 'measured' ? 'measured' : 'computed',
    steps,
  };
}

function whyDifference(book: Book, cell: EntryCell, recipe: Recipe): Derivation | undefined {
  const standard = recipe.standard && book.find('reading', recipe.standard.is);
  if (!standard)
    throw new Unanswerable(`${recipe.id} has no difference: no reading of the book is named as its standard.`);
  const card = currentCard(book, cell);
  if (!card)
    throw new Unanswerable(
      `${recipe.id} has no difference: it is not sprayed yet. Spray a card, read it, and enter it with: sprayout … of ${recipe.id}`,
    );
  const rows = cardDifference(book, standard, card.cell, shopOf(book).viewings.slice(0, 1));
  const worst = rows[0];
  if (!worst)
    throw new Unanswerable(
      `${recipe.id} has no difference: card ${card.card.id} and ${recipe.standard!.is} have no angle in common.`,
    );
  return {
    figure: `difference of ${recipe.id}`,
    value: `worst ${worst.dE00.toFixed(1)} dE00 at ${worst.geometry}`,
    basis: 'measured',
    steps: [
      {
        text: `CIEDE2000 (ISO/CIE 11664-6) of card ${card.card.id} from the standard ${recipe.standard!.is}, under ${worst.illuminant}/${worst.observer}`,
      },
      ...rows.map((row) => ({ text: `${row.geometry}: ${row.dE00.toFixed(2)}` })),
      ...(card.cell.entry.head ? [{ text: 'the card', place: placeOf(card.cell, card.cell.entry.head) }] : []),
      ...(standard.entry.head ? [{ text: 'the standard', place: placeOf(standard, standard.entry.head) }] : []),
    ],
  };
}
