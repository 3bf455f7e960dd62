/** Putting right a colour that missed: a formula revised after its card, or what to add to a cup. */
import type { Book } from '../book/book.ts';
import { cardsOf, type FormulaCard, type Part, poursOf } from '../book/cards.ts';
import type { EntryCell } from '../book/cell.ts';
import { coatOf } from '../book/cup.ts';
import type { CoatName } from '../book/entries/formula.ts';
import { batchIn, shopOf } from '../book/known.ts';
import { partsOfLines, sharesOf } from '../book/optics/amounts.ts';
import { type Paint, paintOf, tonersIn, uncertainIn, uncertainOf } from '../book/optics/predicted.ts';
import { type Sample, sampleOf } from '../book/optics/samples.ts';
import { type Recipe, type RecipeCoat, recipeIn, recipeNamed } from '../book/recipe.ts';
import { placesOf, sum, zero } from '../exact/rational.ts';
import { weighedAdditions } from './correct-additions.ts';
import type { Doubt } from './correct-doubt.ts';
import { correctEffect, correctEffectCup } from './correct-effect.ts';
import { correctSolid, correctSolidCup } from './correct-solid.ts';
import { rounded } from './number.ts';
import { Unanswerable } from './subject.ts';

export interface RevisedToner {
  readonly code: string;
  readonly parts: number;
  /** Against the formula as it is. */
  readonly delta: number;
}

export interface Revised {
  readonly toners: readonly RevisedToner[];
  /** Predicted dE00 from the standard, root mean square over lights and angles. */
  readonly after: number;
}

export interface CorrectAnswer {
  readonly formula: string;
  readonly standard: string;
  readonly cards: readonly string[];
  readonly state: 'ready' | 'recomputing';
  /** dE00 of the cards from the standard, root mean square over lights and angles. */
  readonly before: number;
  /** dE00 by which cards of one formula differ from each other anyway. */
  readonly cardNoise: number;
  readonly revised: Revised;
  /** The customary part of the same step. */
  readonly part: Revised & { readonly of: number };
  /** coats: another number of mid coats comes nearer than other toners. */
  readonly take: 'revised' | 'part' | 'coats' | 'spray again';
  /** Of a colour of several coats: the one that is changed, and how near each comes, changed alone. */
  readonly coat: CoatName | null;
  readonly coats: readonly { readonly coat: CoatName; readonly after: number }[];
  /** One mid coat less or more, whichever comes nearer, with the toners as they are. */
  readonly midCoats: MidCoats | null;
  /** The card's film, where the card tells it and what is below. */
  readonly film: FilmCounted | null;
  /** Two cards that differ by more than the correction is worth. */
  readonly doubt: Doubt | null;
  /** Where the formula's own toners do not bring it within the tolerance: with the one besides that brings it nearest. */
  readonly withToner: (Revised & { readonly toner: string; readonly variant: string }) | null;
  /** Where card and standard were read at unlike angles: what the card shows is carried over by the model. */
  readonly carriedOver: { readonly from: string; readonly to: string } | null;
  /** Toners of the formula that too few cards tell of. */
  readonly uncertain: readonly string[];
  readonly advice: string;
  /** The step that is advised, as a variant with plus and minus lines to be put into the book. */
  readonly variant: string;
}

export interface MidCoats {
  readonly coats: number;
  readonly now: number;
  /** dE00 from the standard, root mean square over lights and angles. */
  readonly after: number;
  /** Step of the panel that was read; null: predicted. */
  readonly card: string | null;
}

export interface FilmCounted {
  readonly um: number;
  /** L* of what is below it. */
  readonly lightness: number;
  /** dE00 of the film from one that hides, at the angle where the undercoat shows most. */
  readonly shows: number;
}

export interface AdditionsAnswer {
  readonly batch: string;
  readonly formula: string;
  /** Of a colour of several coats: the one that the cup is of. */
  readonly coat: CoatName | null;
  readonly standard: string;
  readonly cards: readonly string[];
  readonly state: 'ready' | 'recomputing';
  readonly inCup: number;
  readonly additions: readonly { readonly toner: string; readonly grams: number }[];
  readonly total: number;
  /** Predicted dE00 of the cup from the standard as it is and after the additions. */
  readonly predicted: { readonly before: number; readonly after: number };
  readonly tolerance: number;
  readonly reaches: boolean;
  /** Toners of cup and formula that too few cards tell of. */
  readonly uncertain: readonly string[];
  readonly advice: string;
}

/** What both sides of correcting need. */
export interface CorrectionTask {
  readonly book: Book;
  readonly recipe: Recipe;
  readonly standard: EntryCell;
  /** Cards that the model is brought to; none: the model as it is. */
  readonly cards: readonly CardRead[];
  /** Of a colour of several coats: steps of its panel, and the coat that is to be changed, where that is said. */
  readonly steps: readonly CardRead[];
  readonly coat: CoatName | undefined;
}

export interface CardRead {
  readonly id: string;
  readonly cell: EntryCell;
  readonly sample: Sample;
}

/** A correction in shares of what is in the paint. */
export interface Correction {
  readonly before: number;
  readonly cardNoise: number;
  readonly revised: { readonly shares: ReadonlyMap<string, number>; readonly after: number };
  readonly part: { readonly shares: ReadonlyMap<string, number>; readonly after: number; readonly of: number };
  readonly take: CorrectAnswer['take'];
  readonly coat?: CoatName;
  readonly coats?: CorrectAnswer['coats'];
  readonly midCoats?: MidCoats;
  readonly film?: FilmCounted | undefined;
  readonly doubt?: Doubt;
  /** With one toner more, where the formula's own do not reach. */
  readonly withToner?: { readonly toner: string; readonly shares: ReadonlyMap<string, number>; readonly after: number };
}

export interface CupCorrection {
  /** What to add, by what is in the paint, in units of what was in the cup (1 = all of it). */
  readonly added: ReadonlyMap<string, number>;
  readonly before: number;
  readonly after: number;
  readonly tolerance: number;
  readonly reaches: boolean;
  /** How far a cup with these shares is off. */
  readonly gapOf: (shares: ReadonlyMap<string, number>) => number;
}

/** More cards than this of one formula tell little more. */
const ENOUGH_CARDS = 3;

/** @throws Unanswerable when the book does not allow it; the message says what to do. */
export function correctFormula(
  book: Book,
  formula: EntryCell,
  cardIds: readonly string[],
  coat?: CoatName,
): CorrectAnswer {
  const recipe = recipeIn(book, formula);
  const paint = paintToCorrect(book, recipe);
  if (coat !== undefined) coatNamed(recipe, coat);
  const task = taskOf(book, recipe, cardsFor(book, formula, recipe, cardIds), coat);
  if (task.cards.length === 0) throw new Unanswerable(whyNoCard(book, formula, recipe, paint.side));
  const found = guarded(() => (paint.side === 'solid' ? correctSolid(task, paint) : correctEffect(task, paint)));
  const changed = found.coat === undefined ? recipe.coats[0]! : coatNamed(recipe, found.coat);
  const revised = revisedOf(book, changed, found.revised);
  const part = { ...revisedOf(book, changed, found.part), of: found.part.of };
  const cards = task.cards.map(({ id }) => id);
  // words and figures from the same rounded value, so that they agree in the last digit
  const before = rounded(found.before, 2);
  return {
    formula: recipe.id,
    standard: recipe.standard!.is,
    cards,
    state: paint.state,
    before,
    cardNoise: rounded(found.cardNoise, 2),
    revised,
    part,
    take: found.take,
    coat: found.coat ?? null,
    coats: (found.coats ?? []).map((one) => ({ ...one, after: rounded(one.after, 2) })),
    midCoats: found.midCoats ? { ...found.midCoats, after: rounded(found.midCoats.after, 2) } : null,
    film: found.film
      ? { um: found.film.um, lightness: rounded(found.film.lightness, 1), shows: rounded(found.film.shows, 2) }
      : null,
    doubt: found.doubt ? { ...found.doubt, dE00: rounded(found.doubt.dE00, 2) } : null,
    withToner: found.withToner ? withTonerOf(book, recipe, changed, found, cards) : null,
    carriedOver: carriedOver(task, paint),
    uncertain: uncertainIn(paint),
    advice: adviceFor({ ...found, before }, { revised, part }, cards.length),
    variant:
      found.take === 'coats'
        ? coatsVariant(book, recipe, found.midCoats!.coats, cards)
        : variantText(book, recipe, found.coat, found.take === 'revised' ? revised : part, cards),
  };
}

/** Of effect colours only the angles are used that both have. */
function carriedOver({ cards }: CorrectionTask, paint: Paint): CorrectAnswer['carriedOver'] {
  if (paint.side === 'effect') return null;
  const from = cards.map(({ sample }) => sample.readings[0]!.geometry).find((geometry) => geometry !== paint.geometry);
  return from === undefined ? null : { from, to: paint.geometry };
}

function coatNamed(recipe: Recipe, coat: CoatName): RecipeCoat {
  const found = recipe.coats.find(({ name }) => name === coat);
  if (!found)
    throw new Unanswerable(
      `${recipe.id} has no ${coat} coat. It has: ${recipe.coats.map(({ name }) => name).join(', ')}.`,
    );
  return found;
}

/** @throws Unanswerable when the book does not allow it; the message says what to do. */
export function correctBatch(book: Book, cell: EntryCell): AdditionsAnswer {
  const batch = batchIn(book, cell);
  const recipe = recipeNamed(book, batch.formula);
  if (!recipe) throw new Unanswerable(`Batch ${batch.id} is of ${batch.formula}, which is not in this book.`);
  const coat = coatOf(recipe, batch);
  if (!coat)
    throw new Unanswerable(
      `Batch ${batch.id} does not say which coat of ${recipe.id} is in the cup: write coat and one of ${recipe.coats.map(({ name }) => name).join(', ')}.`,
    );
  const paint = paintToCorrect(book, recipe);
  const cup = poursOf(book, cell);
  const mixed = sharesOf(book, cup);
  if (typeof mixed === 'string') throw new Unanswerable(`What is in batch ${batch.id} cannot be told: ${mixed}.`);
  const task = taskOf(book, recipe, cardsOfBatch(book, recipe, batch.id), coat.name);
  const found = guarded(() =>
    paint.side === 'solid' ? correctSolidCup(task, paint, mixed.shares) : correctEffectCup(task, paint, mixed.shares),
  );
  const grams = cup.reduce((sum, { parts }) => sum + parts.valueOf(), 0);
  const { step } = shopOf(book);
  const { additions, after } = weighedAdditions(book, coat, cup, mixed.shares, found, step);
  const reaches = after <= found.tolerance;
  const total = rounded(
    additions.reduce((sum, one) => sum + one.grams, 0),
    placesOf(step),
  );
  return {
    batch: batch.id,
    formula: recipe.id,
    coat: recipe.coats.length > 1 ? coat.name : null,
    standard: recipe.standard!.is,
    cards: task.cards.map(({ id }) => id),
    state: paint.state,
    inCup: rounded(grams, placesOf(step)),
    additions,
    total,
    predicted: { before: rounded(found.before, 2), after: rounded(after, 2) },
    tolerance: found.tolerance,
    reaches,
    uncertain: uncertainOf(paint.learned, [...tonersIn(paint), ...mixed.shares.keys()]),
    advice: adviceForCup({ ...found, after, reaches }, total, grams, task.cards.length),
  };
}

function paintToCorrect(book: Book, recipe: Recipe): Paint {
  const paint = paintOf(book, recipe);
  if ('none' in paint) throw new Unanswerable(`${recipe.id} cannot be corrected: ${paint.none}.`);
  return paint;
}

function taskOf(
  book: Book,
  recipe: Recipe,
  cards: CorrectionTask['cards'],
  coat: CoatName | undefined,
): CorrectionTask {
  const standard = recipe.standard && book.find('reading', recipe.standard.is);
  if (!standard)
    throw new Unanswerable(
      `${recipe.id} names no standard to be corrected to: write standard and the id of a reading.`,
    );
  const steps = recipe.coats.length > 1 ? cardsOf(book, recipe.cell).filter(({ standing }) => standing === 'step') : [];
  return { book, recipe, standard, cards, steps: usable(book, recipe, steps, false), coat };
}

function cardsFor(book: Book, formula: EntryCell, recipe: Recipe, ids: readonly string[]): CorrectionTask['cards'] {
  const all = cardsOf(book, formula);
  const chosen =
    ids.length === 0 ? all.filter((one) => one.standing === 'current') : ids.map((id) => named(recipe, all, id));
  return usable(book, recipe, chosen.slice(0, ids.length === 0 ? ENOUGH_CARDS : chosen.length), ids.length > 0);
}

/** A card that shows the formula but cannot be learned from is worth another word than none. */
function whyNoCard(book: Book, formula: EntryCell, recipe: Recipe, side: Paint['side']): string {
  const current = cardsOf(book, formula).find((one) => one.standing === 'current');
  const why = current && sampleOf(book, current.cell, side);
  if (typeof why === 'string')
    return `Card ${current!.card.id} cannot be corrected from: ${why}. Enter a card that tells more, then correct.`;
  return `No card shows ${recipe.id} as it is now: spray one, enter it with its parts, then correct.`;
}

function named(recipe: Recipe, all: readonly FormulaCard[], id: string): FormulaCard {
  const found = all.find((one) => one.card.id === id);
  if (!found) {
    const known = all.map((one) => one.card.id);
    throw new Unanswerable(
      `${id} is no card of ${recipe.id}. ${known.length > 0 ? `Its cards: ${known.join(', ')}.` : 'It has none.'}`,
    );
  }
  if (found.standing === 'earlier')
    throw new Unanswerable(`Card ${id} shows an earlier ${recipe.id}: spray the formula as it is now, then correct.`);
  if (found.standing === 'step')
    throw new Unanswerable(
      `Card ${id} has another number of coats than ${recipe.id} says: correct by a card of the formula as it is; show ${recipe.id} tells which number comes nearest.`,
    );
  if (found.standing === 'unknown')
    throw new Unanswerable(`Card ${id} does not keep its parts: enter what was really sprayed, then correct.`);
  return found;
}

/** Cards that have spectra; a card that was asked for by name and has none is told. */
function usable(book: Book, recipe: Recipe, cards: readonly FormulaCard[], asked: boolean): CorrectionTask['cards'] {
  const paint = paintOf(book, recipe);
  const side = 'none' in paint ? 'solid' : paint.side;
  return cards.flatMap(({ card, cell }) => {
    const sample = sampleOf(book, cell, side);
    if (typeof sample !== 'string') return [{ id: card.id, cell, sample }];
    if (asked) throw new Unanswerable(`Card ${card.id} cannot be corrected from: ${sample}.`);
    return [];
  });
}

/** The card that was sprayed from this cup; else the cards of the formula as it is. */
function cardsOfBatch(book: Book, recipe: Recipe, batch: string): CorrectionTask['cards'] {
  const all = cardsOf(book, recipe.cell);
  const own = all.filter((one) => one.card.batch === batch);
  const chosen = own.length > 0 ? own : all.filter((one) => one.standing === 'current').slice(0, ENOUGH_CARDS);
  return usable(book, recipe, chosen, false);
}

function guarded<T>(run: () => T): T {
  try {
    return run();
  } catch (error) {
    if (error instanceof RangeError)
      throw new Unanswerable(`${error.message[0]!.toUpperCase()}${error.message.slice(1)}.`);
    throw error;
  }
}

function withTonerOf(
  book: Book,
  recipe: Recipe,
  coat: RecipeCoat,
  found: Correction,
  cards: readonly string[],
): CorrectAnswer['withToner'] {
  const { toner, shares, after } = found.withToner!;
  const revised = revisedOf(book, coat, { shares, after }, [toner]);
  return { ...revised, toner, variant: variantText(book, recipe, found.coat, revised, cards) };
}

function revisedOf(
  book: Book,
  coat: RecipeCoat,
  { shares, after }: Correction['revised'],
  besides: readonly string[] = [],
): Revised {
  const lines: readonly Part[] = [...coat.toners, ...besides.map((code) => ({ code, parts: zero }))];
  const parts = partsOfLines(book, lines, shares, sum(lines.map((line) => line.parts)).valueOf());
  return {
    toners: lines.map(({ code, parts: before }) => {
      const now = rounded(parts.get(code) ?? 0, 2);
      return { code, parts: now, delta: rounded(now - before.valueOf(), 2) };
    }),
    after: rounded(after, 2),
  };
}

function adviceFor(
  found: Correction,
  { revised, part }: Pick<CorrectAnswer, 'revised' | 'part'>,
  cards: number,
): string {
  const { before, cardNoise, take, doubt, coat } = found;
  const off = `${cards === 1 ? 'the card is' : 'the cards are'} ${before.toFixed(1)} dE00 off`;
  if (doubt)
    return `Spray again before you change the formula: ${doubt.cards.join(' and ')} differ by ${doubt.dE00.toFixed(1)} dE00${doubt.geometry ? ` at ${doubt.geometry}` : ''}, more than the change is worth (${off}).`;
  if (take === 'spray again')
    return `Spray again before you change the formula: ${off}, and cards of one formula differ by about ${cardNoise.toFixed(1)} anyway.`;
  const percent = Math.round(part.of * 100);
  const where = coat ? ` of the ${coat} coat` : '';
  if (take === 'coats') return `${coatsAdvice(found.midCoats!, revised.after)} (${off}).`;
  if (take === 'part')
    return `Take ${percent} % of the change${where} (predicted ${part.after.toFixed(1)} dE00, all of it ${revised.after.toFixed(1)}), then spray again: ${off}, and a small miss is overdone easily.`;
  return `Take the whole change${where} (predicted ${revised.after.toFixed(1)} dE00; ${percent} % of it ${part.after.toFixed(1)}), then spray again: ${off}.`;
}

function coatsAdvice({ coats, now, after, card }: MidCoats, changed: number): string {
  const told = card === null ? 'predicted' : `measured on ${card}`;
  const against = after < changed ? 'nearer than' : 'hardly less near than';
  return `Spray ${coats} mid ${coats === 1 ? 'coat' : 'coats'} instead of ${now}, with the toners as they are: ${after.toFixed(1)} dE00, ${told}, ${against} by changing toners (predicted ${changed.toFixed(1)})`;
}

function adviceForCup(found: CupCorrection, total: number, grams: number, cards: number): string {
  const model = cards === 0 ? ' No card shows how this formula really comes out: spray one first.' : '';
  if (total === 0 && found.reaches)
    return `Nothing has to be added: the cup is predicted within ${found.tolerance} dE00.${model}`;
  const after = `predicted ${found.after.toFixed(1)} dE00 instead of ${found.before.toFixed(1)}`;
  if (!found.reaches) return `Adding does not bring it within ${found.tolerance} dE00 (${after}): mix again.${model}`;
  const percent = (100 * total) / grams;
  return `Add ${percent < 1 ? percent.toFixed(1) : Math.round(percent)} % of what is in the cup, stir, and spray a card before the panel: ${after}.${model}`;
}

/** Plus and minus lines; what comes to nothing is dropped, what hardly changes is left. */
function variantText(
  book: Book,
  recipe: Recipe,
  coat: CoatName | undefined,
  revised: Revised,
  cards: readonly string[],
): string {
  const lines = revised.toners.flatMap(({ code, parts, delta }) => {
    if (delta === 0) return [];
    if (parts === 0) return [`  without ${code}`];
    return [`  toner ${code} ${delta > 0 ? '+' : '-'}${Math.abs(delta).toFixed(2)}`];
  });
  const of = recipe.coats.length > 1 && coat ? [`  coat ${coat}`] : [];
  return [variantHead(book, recipe, cards), ...of, ...lines, ''].join('\n');
}

const coatsVariant = (book: Book, recipe: Recipe, coats: number, cards: readonly string[]): string =>
  [variantHead(book, recipe, cards), `  coat mid coats ${coats}`, ''].join('\n');

const variantHead = (book: Book, recipe: Recipe, cards: readonly string[]): string =>
  `variant ${freeId(book, recipe.id)} "After ${cards.join(', ')}"`;

function freeId(book: Book, id: string): string {
  for (let n = 1; ; n++) {
    const wanted = `${id}/corrected${n === 1 ? '' : `-${n}`}`;
    if (!book.find('formula', wanted)) return wanted;
  }
}
