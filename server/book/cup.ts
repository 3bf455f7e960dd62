/** The cup of a batch: what should go into it, what is in it, what comes next, and what is too much. */
import type { Line } from '../../grammar/tree.ts';
import { toBase } from '../exact/quantity.ts';
import { larger, type Rational, sum, zero } from '../exact/rational.ts';
import { type CupLoss, cupLoss, readingError } from '../paint/evaporation.ts';
import { deviations, type Batch as Plan, stillToPour } from '../paint/recovery.ts';
import type { WeighingMode } from '../paint/scales.ts';
import { type Amount, type Part, runningPours, scaleTo } from '../paint/weights.ts';
import type { Book } from './book.ts';
import type { EntryCell } from './cell.ts';
import type { Batch } from './entries/batch.ts';
import { batchIn, scaleNamed, shopOf, systemNamed } from './known.ts';
import { liquidsOf, together } from './materials.ts';
import { type Recipe, recipeNamed } from './recipe.ts';

/** Something that went into the cup. */
export interface CupPour {
  readonly code: string;
  readonly grams: Rational;
  /** What the scale shows after it. */
  readonly running: Rational;
  /** added: hardener or reducer of the system, no part of the colour. */
  readonly kind: 'leftover' | 'pour' | 'tint' | 'added';
  readonly accepted: boolean;
  readonly line: Line;
}

export interface Weighing extends CupLoss {
  readonly grams: Rational;
  readonly expected: Rational;
  /** How far the figures of the scale alone may be apart. */
  readonly error: Rational;
  readonly line: Line;
}

/** What the lines of a batch say is in its cup. */
export interface Content {
  readonly pours: readonly CupPour[];
  /** All that is in the cup, each toner once. */
  readonly amounts: readonly Amount[];
  /** Without what the system adds: the colour as it is, tints and all. */
  readonly colour: readonly Amount[];
  /** Without what was tinted by eye and what the system adds. */
  readonly poured: readonly Amount[];
  readonly inCup: Rational;
  /** What the scale shows now. */
  readonly shows: Rational;
  readonly removed: readonly { readonly grams: Rational; readonly line: Line }[];
  readonly weighings: readonly Weighing[];
  readonly mode: WeighingMode;
}

const EMPTY: Content = {
  pours: [],
  amounts: [],
  colour: [],
  poured: [],
  inCup: zero,
  shows: zero,
  removed: [],
  weighings: [],
  mode: 'tared',
};

export function contentIn(book: Book, cell: EntryCell): Content {
  return book
    .fact(
      'cup-content',
      cell,
      () => fill(book, cell),
      () => EMPTY,
    )
    .get();
}

function fill(book: Book, cell: EntryCell): Content {
  const batch = batchIn(book, cell);
  const step = stepOf(book, batch);
  const mode: WeighingMode = batch.pours.some((pour) => pour.running) ? 'running' : 'tared';
  const pours: CupPour[] = [];
  const weighings: Weighing[] = [];
  const removed: { grams: Rational; line: Line }[] = [];
  const added = addedCodes(book, batch);
  const inside: Record<'pour' | 'tint' | 'added', Amount[]> = { pour: [], tint: [], added: [] };
  let shows = zero;
  const inCup = () => sum(Object.values(inside).flatMap((all) => all.map((amount) => amount.grams)));
  if (batch.leftover) {
    const { line, grams } = batch.leftover;
    for (const amount of leftoverAmounts(book, batch.leftover)) {
      shows = shows.add(amount.grams);
      pours.push({ ...amount, running: shows, kind: 'leftover', accepted: false, line });
      inside.pour.push(amount);
    }
    shows = grams;
  }
  for (const one of batch.steps) {
    if (one.kind === 'pour') {
      const grams = one.grams ?? one.running!.sub(shows);
      shows = shows.add(grams);
      const { code, line, accepted, tint } = one;
      const kind = tint ? 'tint' : added.has(code) ? 'added' : 'pour';
      pours.push({ code, grams, running: shows, kind, accepted, line });
      inside[kind].push({ code, grams });
    } else if (one.kind === 'removed') {
      const mass = inCup();
      const left = mass.gt(one.grams) ? mass.sub(one.grams).div(mass) : zero;
      for (const kind of ['pour', 'tint', 'added'] as const)
        inside[kind] = inside[kind].map(({ code, grams }) => ({ code, grams: grams.mul(left) }));
      shows = shows.sub(one.grams);
      removed.push({ grams: one.grams, line: one.line });
    } else {
      const error = readingError(pours.filter((pour) => pour.kind !== 'leftover').length, step, mode);
      weighings.push({ ...cupLoss(shows, one.grams, error), grams: one.grams, expected: shows, error, line: one.line });
      shows = one.grams;
    }
  }
  return {
    pours,
    amounts: together(inside.pour, inside.tint, inside.added),
    colour: together(inside.pour, inside.tint),
    poured: together(inside.pour),
    inCup: inCup(),
    shows,
    removed,
    weighings,
    mode,
  };
}

/** Hardener and reducers of the system, but for one that the formula itself holds. */
function addedCodes(book: Book, batch: Batch): ReadonlySet<string> {
  const recipe = recipeNamed(book, batch.formula);
  const system = recipe?.system && systemNamed(book, recipe.system.is);
  const own = new Set(recipe?.coats.flatMap((coat) => coat.toners.map((toner) => toner.code)));
  return new Set((system?.added ?? []).map((line) => line.code).filter((code) => !own.has(code)));
}

/** What a leftover brings: its own cup in small. */
export function leftoverAmounts(book: Book, { batch, grams }: NonNullable<Batch['leftover']>): Amount[] {
  const composition = compositionOf(book, batch);
  return composition ? scaleTo(composition, grams) : [];
}

/**
 * The paint of a batch. Where every pour agreed with the sheet to the last step of the scale, its figures are only roundings of the
 * recipe, so the recipe tells more than they do.
 */
export function compositionOf(book: Book, batchId: string): readonly Part[] | undefined {
  const cell = book.find('batch', batchId);
  if (!cell) return undefined;
  const content = contentIn(book, cell);
  const amounts = content.amounts.filter(({ grams }) => grams.gt(0));
  if (amounts.length === 0) return undefined;
  return (
    pouredAsMeant(book, batchIn(book, cell), content) ?? amounts.map(({ code, grams }) => ({ code, parts: grams }))
  );
}

export interface Cup {
  readonly batch: Batch;
  readonly content: Content;
  /** Where the recipe comes from: the batch keeps it, the formula is as it is now, or only the pours tell (a closed batch). */
  readonly source: 'kept' | 'formula' | 'pours';
  readonly recipe: readonly Part[];
  /** g to be made. */
  readonly target: Rational;
  readonly step: Rational;
  readonly plan: Plan;
  /** g that the cup takes, where it is said and the densities are known. */
  readonly most: Rational | undefined;
}

export interface NoCup {
  readonly problem: string;
}

export const isProblem = (cup: Cup | NoCup): cup is NoCup => 'problem' in cup;

export function cupIn(book: Book, cell: EntryCell): Cup | NoCup {
  return book
    .fact<Cup | NoCup>(
      'cup',
      cell,
      () => compute(book, cell),
      () => ({ problem: 'The leftover leads back to this batch.' }),
    )
    .get();
}

function compute(book: Book, cell: EntryCell): Cup | NoCup {
  const batch = batchIn(book, cell);
  const content = contentIn(book, cell);
  const found = recipeFor(book, batch, content);
  if ('problem' in found) return found;
  const recipe = found.recipe.filter((part) => part.parts.gt(0));
  if (recipe.length === 0) return { problem: `${batch.formula} has no toner lines to pour.` };
  const target = found.source === 'pours' ? content.inCup : massOf(book, batch, recipe);
  if (!target)
    return { problem: "Say how much is made, such as 'make 80 g'; a volume needs the densities of its toners." };
  const step = stepOf(book, batch);
  return {
    batch,
    content,
    source: found.source,
    recipe,
    target,
    step,
    plan: { formula: recipe, target, poured: content.poured, readability: step },
    most: massFilling(book, recipe, batch.cup),
  };
}

export const stepOf = (book: Book, batch: Batch): Rational => {
  const step = batch.readability ?? (batch.scale === undefined ? undefined : scaleNamed(book, batch.scale)?.step);
  return step?.gt(0) ? step : shopOf(book).step;
};

/** A closed batch that keeps no recipe is a record of its pours: the formula may have moved on since. */
function recipeFor(
  book: Book,
  batch: Batch,
  content: Content,
): { source: Cup['source']; recipe: readonly Part[] } | NoCup {
  if (batch.kept.length > 0) return { source: 'kept', recipe: batch.kept };
  if (batch.closed)
    return { source: 'pours', recipe: content.poured.map(({ code, grams }) => ({ code, parts: grams })) };
  const recipe = recipeNamed(book, batch.formula);
  if (!recipe) return { problem: `There is no formula '${batch.formula}' in this book.` };
  const coat = coatOf(recipe, batch);
  if (!coat)
    return {
      problem: `${batch.formula} has several coats, each a cup of its own: say which, such as 'coat ${recipe.coats[0]?.name ?? 'ground'}'.`,
    };
  return { source: 'formula', recipe: coat.toners };
}

export const coatOf = (recipe: Recipe, batch: Batch) =>
  batch.coat
    ? recipe.coats.find((one) => one.name === batch.coat)
    : recipe.coats.length === 1
      ? recipe.coats[0]
      : undefined;

function massOf(book: Book, { make }: Batch, recipe: readonly Part[]): Rational | undefined {
  if (!make || make.value.lte(0)) return undefined;
  return make.unit.dimension === 'mass' ? toBase(make) : massFilling(book, recipe, toBase(make));
}

function massFilling(book: Book, recipe: readonly Part[], millilitres: Rational | undefined): Rational | undefined {
  if (!millilitres?.gt(0)) return undefined;
  const { liquids, missing } = liquidsOf(
    book,
    recipe.map(({ code, parts }) => ({ code, grams: parts })),
  );
  if (missing.length > 0) return undefined;
  const [mass, volume] = [
    sum(liquids.map(({ grams }) => grams)),
    sum(liquids.map((one) => one.grams.div(one.density))),
  ];
  return mass.mul(millilitres).div(volume);
}

/** What is still to be poured, without any rescue; the running figures count what was tinted, too. */
export function comingIn(cup: Cup): ReturnType<typeof runningPours> {
  if (cup.batch.closed) return [];
  const pours = stillToPour(cup.plan).map(({ code, weighed }) => ({ code, grams: weighed }));
  return onScale(cup, cup.content.shows, pours);
}

export const nextIn = (cup: Cup): ReturnType<typeof runningPours>[number] | undefined => comingIn(cup)[0];

/** Pours onto what the scale shows. */
export function onScale(cup: Cup, shows: Rational, amounts: readonly Amount[]): ReturnType<typeof runningPours> {
  return runningPours(amounts, shows, cup.step);
}

export interface TooMuch {
  readonly code: string;
  readonly planned: Rational;
  readonly poured: Rational;
  readonly off: Rational;
  /** Within the error that the shop accepts of a pour. */
  readonly slight: boolean;
  readonly line: Line;
}

/** Toners of which more than a step of the scale too much is in the cup, but for those that were accepted. */
export function tooMuchIn(book: Book, cup: Cup): TooMuch[] {
  if (cup.source === 'pours') return [];
  const error = shopOf(book).weighingError;
  return deviations(cup.plan).flatMap(({ code, planned, poured, off }) => {
    const line = cup.content.pours
      .filter((pour) => pour.code === code && (pour.kind === 'pour' || pour.kind === 'leftover'))
      .at(-1)?.line;
    if (!line || off.lte(cup.step) || cup.batch.accepted.has(code)) return [];
    return [{ code, planned, poured, off, slight: off.lte(larger(planned.mul(error), cup.step)), line }];
  });
}

/** The recipe of a cup whose every pour is the sheet's to the last step, with nothing missing, taken out or tinted. */
function pouredAsMeant(book: Book, batch: Batch, content: Content): readonly Part[] | undefined {
  const own = { ...batch, closed: undefined };
  const found = recipeFor(book, own, content);
  if (
    'problem' in found ||
    content.removed.length > 0 ||
    content.pours.some((pour) => pour.kind === 'tint' || pour.kind === 'added')
  )
    return undefined;
  const formula = found.recipe.filter((part) => part.parts.gt(0));
  const target = formula.length > 0 ? massOf(book, batch, formula) : undefined;
  if (!target) return undefined;
  const off = deviations({ formula, target, poured: content.poured, readability: stepOf(book, batch) });
  return off.length === formula.length && off.every((one) => one.off.equals(0)) ? formula : undefined;
}
