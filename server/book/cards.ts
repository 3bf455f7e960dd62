/** Cards of a formula: which were sprayed with the formula as it is now, and which with an earlier one. */
import { type Rational, sum } from '../exact/rational.ts';
import type { Book } from './book.ts';
import type { EntryCell } from './cell.ts';
import { contentIn } from './cup.ts';
import type { Card } from './entries/measured.ts';
import { cardIn, moment, shopOf } from './known.ts';
import { type Recipe, recipeIn, sameRatios } from './recipe.ts';

export interface Part {
  readonly code: string;
  readonly parts: Rational;
  /** Where the record says it. */
  readonly lot?: string;
}

/**
 * current: its parts mix to the formula's paint; earlier: they do not any more; step: the paint is the formula's, but a coat was
 * sprayed another number of times, as on a step panel; unknown: the card keeps no parts, or nothing tells the formula's.
 */
export type Standing = 'current' | 'earlier' | 'step' | 'unknown';

export interface FormulaCard {
  readonly cell: EntryCell;
  readonly card: Card;
  readonly standing: Standing;
}

/** Cards of a formula, newest first. */
export function cardsOf(book: Book, formula: EntryCell): readonly FormulaCard[] {
  return book
    .fact(
      'cards',
      formula,
      () => compute(book, formula),
      () => [] as FormulaCard[],
    )
    .get();
}

function compute(book: Book, formula: EntryCell): FormulaCard[] {
  const recipe = recipeIn(book, formula);
  const cards: FormulaCard[] = [];
  for (const cell of book.usersOf(`formula:${recipe.id}`)) {
    if (cell.entry.kind !== 'sprayout') continue;
    const card = cardIn(book, cell);
    if (card.formula === recipe.id) cards.push({ cell, card, standing: standingOf(book, card, recipe) });
  }
  const time = ({ card }: FormulaCard) => moment(book, card.made?.on ?? card.taken)?.at ?? 0;
  return cards.sort((a, b) => time(b) - time(a) || before(book, a, b));
}

/** Cards of one moment stand in an order of their own, not in that in which they came to be known. */
function before(book: Book, a: FormulaCard, b: FormulaCard): number {
  if (a.card.id !== b.card.id) return a.card.id < b.card.id ? -1 : 1;
  const alike = book.named(`sprayout:${a.card.id}`);
  return alike.indexOf(a.cell) - alike.indexOf(b.cell);
}

/** The newest card that shows the formula as it is now. */
export function currentCard(book: Book, formula: EntryCell): FormulaCard | undefined {
  return cardsOf(book, formula).find((one) => one.standing === 'current');
}

function standingOf(book: Book, card: Card, recipe: Recipe): Standing {
  if (recipe.missingParent !== undefined) return 'unknown';
  if (card.coats.some((coat) => coat.toners.length > 0)) {
    const alike =
      card.coats.length === recipe.coats.length &&
      card.coats.every((coat) => {
        const other = recipe.coats.find((one) => one.name === coat.name);
        return other !== undefined && sameRatios(coat.toners, other.toners);
      });
    if (!alike) return 'earlier';
    return card.coats.every((coat) => sprayedAlike(coat, recipe)) ? 'current' : 'step';
  }
  const batch = card.batch === undefined ? undefined : book.find('batch', card.batch);
  if (!batch) return 'unknown';
  return pouredAs(poursOf(book, batch), recipe, shopOf(book).step, shopOf(book).weighingError) ? 'current' : 'earlier';
}

/** Was the coat sprayed as often as the formula says, where both say it? */
function sprayedAlike(coat: Card['coats'][number], recipe: Recipe): boolean {
  const wanted = recipe.coats.find((one) => one.name === coat.name)?.coats;
  return coat.coats === undefined || wanted === undefined || coat.coats === wanted;
}

/** What is in the cup of a batch, per toner: pours, tints and what a leftover brought, less what was taken out. */
export const poursOf = (book: Book, batch: EntryCell): Part[] =>
  contentIn(book, batch).amounts.map(({ code, grams }) => ({ code, parts: grams }));

/** Is the cup the formula, within what the scale shows and the shop accepts of a pour? */
function pouredAs(poured: readonly Part[], recipe: Recipe, step: Rational, error: Rational): boolean {
  const toners = recipe.coats.flatMap((coat) => coat.toners);
  const total = sum(poured.map((one) => one.parts));
  if (poured.length !== toners.length || total.compare(0) === 0) return false;
  return toners.every(({ code, parts }) => {
    const cup = poured.find((one) => one.code === code);
    const wanted = parts.mul(total).div(recipe.total);
    const allowed = wanted.mul(error).compare(step) > 0 ? wanted.mul(error) : step;
    return cup !== undefined && cup.parts.sub(wanted).abs().compare(allowed) <= 0;
  });
}
