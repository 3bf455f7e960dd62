/** What to pour: the undercoat grey first, then the colour, coat by coat in the written order, and what makes it ready to spray. */

import { type AmountAsked, type AmountsNeeded, amountsNeeded, type CoatAmount } from '../book/amount.ts';
import type { Book } from '../book/book.ts';
import type { EntryCell } from '../book/cell.ts';
import { systemNamed } from '../book/known.ts';
import { lackingText, liquidsOf, materialNamed, together } from '../book/materials.ts';
import { type Additions, additionsOf, readyMix } from '../book/ready.ts';
import { type Recipe, recipeIn, withoutParent } from '../book/recipe.ts';
import { type Sprayed, sprayedCup } from '../book/voc.ts';
import type { Quantity } from '../exact/quantity.ts';
import { toBase } from '../exact/quantity.ts';
import { decimal, larger, placesOf, type Rational, rational, roundToStep, sum, zero } from '../exact/rational.ts';
import { type Caution, cautions } from '../paint/cautions.ts';
import { atStrength } from '../paint/letdown.ts';
import type { Booth } from '../paint/ready.ts';
import { massOfMix, volumeOfMix } from '../paint/volume.ts';
import { type Part, scaleTo } from '../paint/weights.ts';
import { type CostAnswer, costAnswer, type StockAnswer, stockAnswer } from './cost.ts';
import { type Cup, cupsOf, type LeftoverAsked } from './mix-cups.ts';
import { type Weighing, weighingOn } from './mix-scale.ts';
import { rounded } from './number.ts';
import { plain } from './plain.ts';
import { type ReadyAnswer, readyAnswer, readyTogether } from './ready.ts';
import { Unanswerable } from './subject.ts';
import { type UndercoatCup, type UndercoatSheet, undercoatCup, undercoatCupsInOrder } from './undercoat-sheet.ts';
import { type VocAnswer, vocAnswer } from './voc.ts';

export { plain } from './plain.ts';
export { type UndercoatSheet, undercoatSheet } from './undercoat-sheet.ts';

export interface PourRow {
  readonly coat: string;
  readonly toner: string;
  readonly grams: string;
  readonly cumulative: string;
}

export interface StrengthOfLot {
  readonly toner: string;
  readonly lot: string;
  readonly percent: string;
}

export interface MixAnswer {
  readonly formula: string;
  readonly name: string;
  /** Asked for, g. */
  readonly weight: string;
  /** The nearest weight that the scale can show, g. */
  readonly weighable: string;
  readonly differs: boolean;
  readonly scale: string;
  /** Why the scale is another than the bench scale, when nobody asked for it. */
  readonly scaleNote: string | null;
  /** How the weight was reached from a volume, an area or a ready mix. */
  readonly basis: readonly string[];
  readonly undercoat: UndercoatSheet | null;
  /** Paint that was left of another batch: it is in the cup of the coat before the pours. */
  readonly leftover: {
    readonly batch: string;
    readonly coat: string;
    readonly grams: string;
    /** g of the smallest batch that takes all of it. */
    readonly least: string;
  } | null;
  readonly pours: readonly PourRow[];
  readonly total: string;
  /** Each is a cup of its own. */
  readonly coats: readonly {
    readonly coat: string;
    readonly weight: string;
    readonly sprayed: number | null;
    readonly readyToSpray: ReadyAnswer | null;
  }[];
  /** Pours changed for the strength of the lot at hand, only when it was asked for. */
  readonly strengths: readonly StrengthOfLot[];
  /** Weak or strong lots that were not counted, since nobody asked for it. */
  readonly strengthsLeftOut: readonly StrengthOfLot[];
  /** Of the colour as poured. */
  readonly volume: {
    readonly millilitres: number | null;
    /** g/ml */
    readonly density: number | null;
    /** Toner lines that lack a density. */
    readonly missing: readonly string[];
  };
  readonly voc: VocAnswer;
  /** Of what is poured of the colour. */
  readonly cost: CostAnswer;
  /** Of undercoat and colour with their hardeners and reducers. */
  readonly jobCost: CostAnswer;
  /** Of all that is poured, undercoat, hardener and reducer too. */
  readonly stock: readonly StockAnswer[];
  /** Of one cup; of several coats what they take together. */
  readonly readyToSpray: ReadyAnswer | null;
  readonly cautions: readonly Caution[];
}

export interface MixAsked extends AmountAsked {
  /** The id of a scale of the shop; the bench scale when nothing is said. */
  readonly scale?: string | undefined;
  /** g of the empty cup, which the scale carries, too. */
  readonly cup?: Rational | undefined;
  readonly leftover?: LeftoverAsked | undefined;
  readonly booth?: Booth | undefined;
  /** Pour more of a weak lot and less of a strong one: of every toner the lot that was opened last. */
  readonly lotStrength?: boolean | undefined;
}

/** Weight in grams that was asked for, or the formula's own target. */
export function weightAsked(recipe: Recipe, asked: Quantity | undefined): Rational {
  const quantity = asked ?? recipe.target?.is.quantity;
  if (quantity?.unit.dimension === 'mass' && quantity.value.gt(0)) return toBase(quantity);
  throw new Unanswerable(`${recipe.id} has no target weight. Say one with --weight, for example --weight 80g.`);
}

/** What is poured into which cup, on which scale. */
export interface Weighed {
  readonly recipe: Recipe;
  readonly additions: Additions | undefined;
  readonly needed: AmountsNeeded;
  readonly weighing: Weighing;
  readonly cups: readonly Cup[];
  /** Weak and strong lots of its toners; those that the pours count. */
  readonly lots: ReadonlyMap<string, LotStrength>;
  readonly counted: ReadonlyMap<string, LotStrength>;
}

/** @throws Unanswerable when the amount cannot be worked out or weighed, saying why */
export function weighed(book: Book, cell: EntryCell, asked: MixAsked): Weighed {
  const recipe = recipeIn(book, cell);
  if (recipe.missingParent !== undefined)
    throw new Unanswerable(`${recipe.id} cannot be poured: ${withoutParent(recipe.missingParent)}.`);
  if (recipe.total.lte(0)) throw new Unanswerable(`${recipe.id} has no toner lines to pour.`);
  const additions = additionsOf(book, recipe.system?.is, asked.booth);
  const lots = strengthsOf(book, recipe);
  const counted = asked.lotStrength ? lots : new Map<string, LotStrength>();
  const parts = recipe.coats.map((coat) => ({ coat, parts: strengthened(coat.toners, counted) }));
  const needed = amountsNeeded(book, recipe, parts, additions?.components, asked);
  const weighing = weighingOn(book, asked.scale, loadOf(book, needed.coats, additions?.components), asked.cup);
  const cups = cupsOf(book, recipe, needed.coats, weighing.step, asked.leftover);
  return { recipe, additions, needed, weighing, cups, lots, counted };
}

export function mix(book: Book, cell: EntryCell, question?: Quantity | MixAsked): MixAnswer {
  const asked: MixAsked = question && 'unit' in question ? { quantity: question } : (question ?? {});
  const all = weighed(book, cell, asked);
  const { recipe, additions, needed, cups, lots, counted } = all;
  const { step } = all.weighing;
  const sprayed = cups.map(({ coat, amounts }) => sprayedCup(book, coat.name, amounts, additions?.components));
  const filled = sprayed.filter(({ amounts }) => amounts.length > 0);
  const voc = vocAnswer(book, filled, additions);
  const readies = cups.map((cup) => readyOf(book, recipe, cup, additions, step));
  const undercoat = undercoatCup(book, recipe, needed.weight, step, asked.booth, needed.covered);
  const undercoats = undercoatCupsInOrder(undercoat);
  return {
    formula: recipe.id,
    name: recipe.name,
    ...amountShown(all),
    undercoat: undercoat?.sheet ?? null,
    leftover: leftoverIn(cups, step),
    pours: pourRows(cups),
    coats: cups.map(({ coat, weight }, n) => ({
      coat: coat.name,
      weight: decimal(weight, placesOf(step)),
      sprayed: coat.coats ?? null,
      readyToSpray: readies[n]!,
    })),
    strengths: shownStrengths(counted),
    strengthsLeftOut: asked.lotStrength ? [] : shownStrengths(lots),
    volume: volumeOf(book, cups),
    voc,
    ...moneyAndStock(book, { cups, sprayed, undercoats, area: needed.area, step }),
    readyToSpray: readyTogether(readies, placesOf(step)),
    cautions: cautionsFor(book, filled, undercoats, readies[0] ?? null, voc),
  };
}

const pourRows = (cups: readonly Cup[]): PourRow[] =>
  cups.flatMap(({ coat, pours }) =>
    pours.map(({ code, grams, cumulative }) => ({ coat: coat.name, toner: code, grams, cumulative })),
  );

/** How much was asked for and is made, and how that was reached. */
function amountShown({
  needed,
  weighing: { step, note },
  cups,
}: Weighed): Pick<MixAnswer, 'weight' | 'weighable' | 'differs' | 'scale' | 'scaleNote' | 'basis' | 'total'> {
  const weighable = sum(cups.map(({ weight }) => weight));
  const basis = [...needed.basis, ...cups.flatMap((cup) => grownWords(cup, step))];
  const shown = decimal(weighable, placesOf(step));
  return {
    weight: basis.length > 0 ? decimal(needed.weight, placesOf(step) + 2) : plain(needed.weight),
    weighable: shown,
    differs: basis.length === 0 && !weighable.equals(needed.weight),
    scale: `${decimal(step, placesOf(step))} g`,
    scaleNote: note ?? null,
    basis,
    total: shown,
  };
}

/** Of the heaviest cup, with hardener and reducer in it as far as they are known. */
function loadOf(book: Book, coats: readonly CoatAmount[], components: Additions['components']): Rational {
  const loads = coats.map(({ parts, grams }) =>
    components && grams.gt(0) ? (readyMix(book, scaleTo(parts, grams), components)?.grams ?? grams) : grams,
  );
  return loads.reduce(larger, zero);
}

function readyOf(
  book: Book,
  recipe: Recipe,
  { amounts }: Cup,
  additions: Additions | undefined,
  step: Rational,
): ReadyAnswer | null {
  const system = recipe.system && systemNamed(book, recipe.system.is);
  return readyAnswer(book, additions, system, amounts, step, placesOf(step));
}

function grownWords({ leftover, weight }: Cup, step: Rational): string[] {
  if (!leftover?.grown) return [];
  const shown = decimal(weight, placesOf(step));
  return [`All that is left of ${leftover.batch} takes ${shown} g, more than was asked for.`];
}

function leftoverIn(cups: readonly Cup[], step: Rational): MixAnswer['leftover'] {
  const cup = cups.find(({ leftover }) => leftover);
  if (!cup?.leftover) return null;
  const { batch, grams, least } = cup.leftover;
  return {
    batch,
    coat: cup.coat.name,
    grams: decimal(roundToStep(grams, step), placesOf(step)),
    least: decimal(least, 2),
  };
}

/** Of the colour as poured. */
function volumeOf(book: Book, cups: readonly Cup[]): MixAnswer['volume'] {
  const { liquids, missing } = liquidsOf(book, together(...cups.map(({ amounts }) => amounts)));
  const millilitres = missing.length > 0 ? undefined : volumeOfMix(liquids);
  return {
    millilitres: millilitres ? rounded(millilitres.valueOf(), 1) : null,
    density: millilitres?.gt(0) ? rounded(massOfMix(liquids).div(millilitres).valueOf(), 3) : null,
    missing: missing.map(lackingText),
  };
}

interface Job {
  readonly cups: readonly Cup[];
  /** Of each cup. */
  readonly sprayed: readonly Sprayed[];
  readonly undercoats: readonly UndercoatCup[];
  /** m2 */
  readonly area: Rational | undefined;
  readonly step: Rational;
}

/** Of what is poured: paint that is left of another batch was paid for and taken from the shelf then. */
function moneyAndStock(
  book: Book,
  { cups, sprayed, undercoats, area, step }: Job,
): Pick<MixAnswer, 'cost' | 'jobCost' | 'stock'> {
  const paint = together(...cups.map(({ poured }) => poured));
  const weighed = cups.flatMap(({ pours }) => pours.map(({ code, grams }) => ({ code, grams: rational(grams) })));
  const added = cups.flatMap(({ amounts }, n) => sprayed[n]!.amounts.slice(amounts.length));
  const { liquids, missing } = liquidsOf(book, paint);
  const ground = undercoats.flatMap((one) => one.sprayed ?? []);
  const colour = { amounts: together(paint, added) };
  return {
    cost: costAnswer(book, [{ amounts: paint }], missing.length > 0 ? undefined : volumeOfMix(liquids), area),
    jobCost: costAnswer(book, [...ground, colour], undefined, area),
    // The shelf is short of what the scale showed.
    stock: stockAnswer(book, together(...undercoats.map(({ amounts }) => amounts), weighed, added), placesOf(step)),
  };
}

interface LotStrength {
  readonly lot: string;
  readonly strength: Rational;
}

/** Of every toner the lot that was opened last, where it is weak or strong. */
function strengthsOf(book: Book, recipe: Recipe): Map<string, LotStrength> {
  const found = new Map<string, LotStrength>();
  for (const { code } of recipe.coats.flatMap((coat) => coat.toners)) {
    const lots = [...(materialNamed(book, code)?.lots ?? [])].sort((a, b) =>
      (a.opened ?? '') < (b.opened ?? '') ? 1 : -1,
    );
    const [lot] = lots;
    if (lot?.strength?.gt(0) && !lot.strength.equals(1)) found.set(code, { lot: lot.lot, strength: lot.strength });
  }
  return found;
}

const shownStrengths = (strengths: ReadonlyMap<string, LotStrength>): StrengthOfLot[] =>
  [...strengths].map(([toner, { lot, strength }]) => ({ toner, lot, percent: plain(strength.mul(100)) }));

function strengthened(parts: readonly Part[], strengths: ReadonlyMap<string, LotStrength>): Part[] {
  return atStrength(parts, new Map([...strengths].map(([code, { strength }]) => [code, strength]))).parts;
}

/** What is known of the work: of the undercoat as well as of the colour. */
function cautionsFor(
  book: Book,
  sprayed: readonly Sprayed[],
  undercoats: readonly UndercoatCup[],
  ready: ReadyAnswer | null,
  voc: VocAnswer,
): Caution[] {
  const codes = [...sprayed.flatMap(({ amounts }) => amounts), ...undercoats.flatMap(({ amounts }) => amounts)].map(
    ({ code }) => code,
  );
  const readies = [ready, ...undercoats.map(({ sheet }) => sheet.readyToSpray)];
  const hardener =
    readies.some((one) => one?.lines.some((line) => line.role === 'hardener')) ||
    codes.some((code) => materialNamed(book, code)?.kind === 'hardener');
  const judged = [voc, ...undercoats.map(({ sheet }) => sheet.voc)].find((one) => one?.date && one.actual !== null);
  return cautions({
    hardener,
    waterborne: codes.some((code) => materialNamed(book, code)?.water?.gt(0)),
    ...(judged?.date ? { vocAsOf: judged.date } : {}),
    kept: ready?.keeps != null,
  });
}
