/** A batch laid open: what is in the cup, what comes next, and the ways out when too much of something is in it. */
import type { Book } from '../book/book.ts';
import type { EntryCell } from '../book/cell.ts';
import { type Cup, type CupPour, comingIn, cupIn, isProblem, leftoverAmounts } from '../book/cup.ts';
import { wallTime } from '../book/entries/time.ts';
import { moment, shopOf, systemNamed } from '../book/known.ts';
import { together } from '../book/materials.ts';
import { hasHardener, potLifeOf } from '../book/pot-life.ts';
import { recipeNamed, recipeSystem } from '../book/recipe.ts';
import { differenceIn, growthOf, type Rescue, rescuesIn, type Strayed } from '../book/rescue.ts';
import { decimal, placesOf, type Rational, rational, zero } from '../exact/rational.ts';
import { useLeftover } from '../paint/leftover.ts';
import { useBy } from '../paint/ready.ts';
import { deviations, type RecoveryKind } from '../paint/recovery.ts';
import { pourSheet } from '../paint/weights.ts';
import { type CostAnswer, costAnswer, type StockAnswer, stockAnswer } from './cost.ts';
import { rounded } from './number.ts';
import { plain } from './plain.ts';
import { timeText } from './ready.ts';
import { Unanswerable } from './subject.ts';
import { type UndercoatSheet, undercoatSheet } from './undercoat-sheet.ts';

export interface PouredRow {
  readonly toner: string;
  readonly kind: CupPour['kind'];
  readonly grams: string;
  /** What the scale shows after it. */
  readonly cumulative: string;
  /** Of this toner on the sheet; null for a tint, and where a closed batch keeps no recipe. */
  readonly planned: string | null;
  /** All of this toner so far, less what the sheet has. */
  readonly off: string | null;
  readonly stirred: boolean | null;
}

export interface Addition {
  readonly toner: string;
  readonly grams: string;
  readonly cumulative: string;
}

export interface Choice {
  readonly kind: RecoveryKind;
  /** g of the finished batch, as the scale can show it. */
  readonly total: string;
  /** Before the scale rounds it, to a hundredth. */
  readonly exact: string;
  readonly additions: readonly Addition[];
  /** g that are taken out of the stirred cup first. */
  readonly removed: string;
  readonly fits: boolean;
  /** Why the hardener in the cup leaves no time for it, in a clause; null while it does. Such a way is not offered as a fix. */
  readonly late: string | null;
  /** dE00 from the formula at the worst angle; null while nothing can be predicted. */
  readonly predicted: number | null;
  /** The difference of the two paints is within so many dE00 of `predicted`, 9 times of 10. */
  readonly plusMinus: number | null;
}

export interface BatchAnswer {
  readonly kind: 'batch';
  readonly id: string;
  readonly formula: string;
  /** Where the recipe comes from: kept in the batch, the formula as it is now, or only the pours of a closed batch. */
  readonly recipe: Cup['source'];
  readonly make: string;
  readonly scale: string;
  readonly mode: 'tared' | 'running';
  readonly poured: readonly PouredRow[];
  readonly inCup: string;
  /** What the scale shows now. */
  readonly shows: string;
  /** The pour that comes next; null when all is in. */
  readonly next: Addition | null;
  /** It and all pours after it, as the cup is: an over-pour stays. */
  readonly coming: readonly Addition[];
  /** The pours as they were meant. */
  readonly sheet: readonly Addition[];
  /** How many times larger the batch has to become so that nothing is too much; null when it need not. */
  readonly growth: number | null;
  readonly choices: readonly Choice[];
  /** dE00 of what is in a complete cup from the formula, predicted; null while it is not complete or nothing can be predicted. */
  readonly predicted: number | null;
  readonly plusMinus: number | null;
  readonly leftover: LeftoverShown | null;
  readonly evaporated: string | null;
  /** Of what was poured so far, tints, hardener and reducer too: what is left of another batch was paid for then. */
  readonly cost: CostAnswer;
  /** What was poured and is still to come takes from the shelf; of lots that the batch names, from those. */
  readonly stock: readonly StockAnswer[];
  readonly undercoat: UndercoatSheet | null;
  readonly mixed: { readonly when: string; readonly by: string | null } | null;
  readonly closed: { readonly when: string; readonly by: string | null } | null;
  /** With hardener in it: when the pot life ends; else until when it may be kept. */
  readonly useBy: string | null;
  /** When it may end in a booth that is warmer than the pot life is stated for; null where that is not known. A warning. */
  readonly useByWarm: { readonly booth: string; readonly stated: string; readonly when: string } | null;
  readonly hardener: boolean;
  readonly lots: readonly { readonly toner: string; readonly lot: string }[];
  readonly notes: readonly string[];
}

export interface LeftoverShown {
  readonly batch: string;
  readonly grams: string;
  /** g of the smallest batch that uses all of it. */
  readonly least: string;
  /** What is poured onto it, exact to a hundredth and as the scale can show it; null when it holds what the formula does not. */
  readonly needs: readonly (Addition & { readonly exact: string })[] | null;
}

/**
 * `now` is the hour at the bench, milliseconds since 1970: what hardener in the cup leaves time for depends on it.
 * @throws Unanswerable when the batch cannot be followed, saying why.
 */
export function showBatch(book: Book, cell: EntryCell, now?: number): BatchAnswer {
  const cup = cupIn(book, cell);
  if (isProblem(cup)) throw new Unanswerable(cup.problem);
  const { batch, content } = cup;
  const g = inSteps(cup);
  const coming = comingIn(cup).map(({ code, grams, cumulative }) => ({ toner: code, grams, cumulative }));
  const next = coming[0] ?? null;
  const k = growthOf(cup);
  const recipe = recipeNamed(book, batch.formula);
  return {
    kind: 'batch',
    id: batch.id,
    formula: batch.formula,
    recipe: cup.source,
    make: g(cup.target),
    scale: `${decimal(cup.step, placesOf(cup.step))} g`,
    mode: content.mode,
    poured: pouredRows(cup),
    inCup: g(content.inCup),
    shows: g(content.shows),
    next,
    coming,
    sheet: pourSheet(cup.recipe, cup.target, cup.step).pours.map(({ code, grams, cumulative }) => ({
      toner: code,
      grams,
      cumulative,
    })),
    growth: k?.gt(1) && cup.source !== 'pours' ? rounded(k.valueOf(), 6) : null,
    choices: rescuesIn(book, cup, now).map((rescue) => choiceOf(rescue, g)),
    ...(next || cup.source === 'pours' ? { predicted: null, plusMinus: null } : strayedOf(strayedNow(book, cup))),
    leftover: leftoverOf(book, cup),
    evaporated: evaporatedIn(cup),
    ...moneyAndStock(book, cup, coming),
    undercoat: recipe ? undercoatSheet(book, recipe, cup.target, cup.step) : null,
    mixed: batch.mixed ? { when: batch.mixed.when, by: batch.mixed.by ?? null } : null,
    closed: batch.closed ? { when: batch.closed.when, by: batch.closed.by ?? null } : null,
    ...usable(book, cup),
    lots: [...batch.lots].map(([toner, lot]) => ({ toner, lot })),
    notes: batch.notes,
  };
}

export const inSteps =
  (cup: Cup) =>
  (grams: Rational): string =>
    decimal(grams, placesOf(cup.step));

export function pouredRows(cup: Cup): PouredRow[] {
  const g = inSteps(cup);
  const off = new Map(cup.source === 'pours' ? [] : deviations(cup.plan).map((one) => [one.code, one]));
  const last = new Map(
    cup.content.pours.flatMap(({ code, kind }, n) => (isOfRecipe(kind) ? [[code, n] as const] : [])),
  );
  return cup.content.pours.map(({ code, kind, grams, running }, n) => {
    const planned = isOfRecipe(kind) ? off.get(code) : undefined;
    return {
      toner: code,
      kind,
      grams: g(grams),
      cumulative: g(running),
      planned: planned ? g(planned.planned) : null,
      // Of a toner poured twice only the last line can say whether it is enough.
      off: planned && last.get(code) === n ? g(planned.off) : null,
      stirred: cup.batch.stirred.get(code)?.yes ?? null,
    };
  });
}

const isOfRecipe = (kind: CupPour['kind']): boolean => kind === 'pour' || kind === 'leftover';

const choiceOf = (rescue: Rescue, g: (grams: Rational) => string): Choice => ({
  kind: rescue.kind,
  total: g(rescue.total),
  exact: decimal(rescue.exact, 2),
  additions: rescue.additions.map(({ code, grams, cumulative }) => ({ toner: code, grams, cumulative })),
  removed: g(rescue.removed),
  fits: rescue.fits,
  late: rescue.late ?? null,
  ...strayedOf(rescue.predicted === undefined ? undefined : { dE00: rescue.predicted, plusMinus: rescue.plusMinus! }),
});

const strayedOf = (strayed: Strayed | undefined): { predicted: number | null; plusMinus: number | null } => ({
  predicted: strayed ? rounded(strayed.dE00) : null,
  plusMinus: strayed ? rounded(strayed.plusMinus) : null,
});

export const strayedNow = (book: Book, cup: Cup): Strayed | undefined => differenceIn(book, cup)?.(cup.content.colour);

function leftoverOf(book: Book, cup: Cup): LeftoverShown | null {
  const { leftover } = cup.batch;
  if (!leftover) return null;
  const g = inSteps(cup);
  const amounts = leftoverAmounts(book, leftover);
  const shown = { batch: leftover.batch, grams: g(leftover.grams) };
  if (amounts.length === 0) return { ...shown, least: g(zero), needs: null };
  const composition = amounts.map(({ code, grams }) => ({ code, parts: grams }));
  const plan = useLeftover(cup.recipe, { composition, grams: leftover.grams }, cup.target, cup.step);
  if ('foreign' in plan) return { ...shown, least: g(zero), needs: null };
  return {
    ...shown,
    least: decimal(plan.least, 2),
    needs: plan.additions.map(({ code, exact, grams, cumulative }) => ({
      toner: code,
      exact: decimal(exact, 2),
      grams,
      cumulative,
    })),
  };
}

function evaporatedIn(cup: Cup): string | null {
  const last = cup.content.weighings.at(-1);
  return last?.evaporated ? inSteps(cup)(last.lost) : null;
}

/** Paint that was taken out of the cup, or thrown away, was paid for and taken from the shelf as well. */
function moneyAndStock(book: Book, { content, step, batch }: Cup, coming: readonly Addition[]) {
  const poured = together(content.pours.filter(({ kind, grams }) => kind !== 'leftover' && grams.gt(0)));
  const next = coming.map(({ toner, grams }) => ({ code: toner, grams: rational(grams) }));
  return {
    cost: costAnswer(book, [{ amounts: poured }]),
    stock: stockAnswer(book, together(poured, next), placesOf(step), batch.lots),
  };
}

/** Times without a zone of their own are the shop's, so what is shown is, too. */
function usable(book: Book, { batch, content }: Cup): Pick<BatchAnswer, 'useBy' | 'useByWarm' | 'hardener'> {
  const hardener = hasHardener(book, content);
  const system = systemNamed(book, recipeSystem(book, batch.formula) ?? '');
  const seconds = hardener ? system?.potLife?.seconds : system?.keeps;
  const none = { useBy: null, useByWarm: null, hardener };
  if (!seconds) return none;
  const mixed = moment(book, batch.mixed?.when);
  if (!mixed) return { ...none, useBy: `${timeText(seconds)} from the time it is mixed` };
  const { zone } = shopOf(book);
  const life = potLifeOf(book, batch, content);
  return {
    useBy: localTime(useBy(mixed.at, seconds), zone, mixed.dayOnly),
    useByWarm: life?.warm
      ? { booth: plain(life.warm.booth), stated: plain(life.statedAt), when: localTime(life.warm.until, zone, false) }
      : null,
    hardener,
  };
}

function localTime(at: number, zone: string, dayOnly: boolean): string {
  const shown = wallTime(at, zone);
  return dayOnly ? shown.slice(0, 10) : shown;
}
