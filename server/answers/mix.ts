/** What to pour: the undercoat grey first, then the colour, coat by coat in the written order, and what makes it ready to spray. */

import { type AmountAsked, amountsNeeded, type CoatAmount } from '../book/amount.ts';
import type { Book } from '../book/book.ts';
import type { EntryCell } from '../book/cell.ts';
import { scaleNamed, shopOf, systemNamed } from '../book/known.ts';
import { lackingText, liquidsOf, materialNamed, together } from '../book/materials.ts';
import { additionsOf } from '../book/ready.ts';
import { type Recipe, recipeIn } from '../book/recipe.ts';
import { sprayedCup } from '../book/voc.ts';
import type { Quantity } from '../exact/quantity.ts';
import { toBase } from '../exact/quantity.ts';
import { decimal, placesOf, type Rational, roundToStep, sum } from '../exact/rational.ts';
import { type Caution, cautions } from '../paint/cautions.ts';
import { atStrength } from '../paint/letdown.ts';
import type { Booth } from '../paint/ready.ts';
import { type Amount, type Part, pourSheet, scaleTo } from '../paint/weights.ts';
import { type CostAnswer, costAnswer, type StockAnswer, stockAnswer } from './cost.ts';
import { rounded } from './number.ts';
import { plain } from './plain.ts';
import { type ReadyAnswer, readyAnswer } from './ready.ts';
import { Unanswerable } from './subject.ts';
import { type UndercoatSheet, undercoatSheet } from './undercoat-sheet.ts';
import { type VocAnswer, vocAnswer } from './voc.ts';

export { plain } from './plain.ts';
export { type UndercoatSheet, undercoatSheet } from './undercoat-sheet.ts';

export interface PourRow {
  readonly coat: string;
  readonly toner: string;
  readonly grams: string;
  readonly cumulative: string;
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
  /** How the weight was reached from a volume, an area or a ready mix. */
  readonly basis: readonly string[];
  readonly undercoat: UndercoatSheet | null;
  readonly pours: readonly PourRow[];
  readonly total: string;
  readonly coats: readonly { readonly coat: string; readonly weight: string; readonly sprayed: number | null }[];
  /** Pours changed for the strength of the lot at hand, only when it was asked for. */
  readonly strengths: readonly { readonly toner: string; readonly lot: string; readonly percent: string }[];
  /** Of the colour as poured. */
  readonly volume: {
    readonly millilitres: number | null;
    /** g/ml */
    readonly density: number | null;
    /** Toner lines that lack a density. */
    readonly missing: readonly string[];
  };
  readonly voc: VocAnswer;
  readonly cost: CostAnswer;
  readonly stock: readonly StockAnswer[];
  readonly readyToSpray: ReadyAnswer | null;
  readonly cautions: readonly Caution[];
}

export interface MixAsked extends AmountAsked {
  /** The id of a scale of the shop; the bench scale when nothing is said. */
  readonly scale?: string | undefined;
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

interface Weighing {
  readonly step: Rational;
  readonly name: string | undefined;
  readonly capacity: Rational | undefined;
}

function weighingOn(book: Book, id: string | undefined): Weighing {
  if (id === undefined) return { step: shopOf(book).step, name: undefined, capacity: undefined };
  const scale = scaleNamed(book, id);
  if (!scale?.step || scale.step.lte(0))
    throw new Unanswerable(
      scale ? `Scale ${id} does not state its readability.` : `There is no scale '${id}' in this book.`,
    );
  return { step: scale.step, name: id, capacity: scale.capacity };
}

export function mix(book: Book, cell: EntryCell, question?: Quantity | MixAsked): MixAnswer {
  const asked: MixAsked = question && 'unit' in question ? { quantity: question } : (question ?? {});
  const recipe = recipeIn(book, cell);
  if (recipe.total.lte(0)) throw new Unanswerable(`${recipe.id} has no toner lines to pour.`);
  const { step, name: scaleName, capacity } = weighingOn(book, asked.scale);
  const places = placesOf(step);
  const additions = additionsOf(book, recipe.system?.is, asked.booth);
  const strengths = asked.lotStrength ? strengthsOf(book, recipe) : new Map<string, LotStrength>();
  const parts = recipe.coats.map((coat) => ({ coat, parts: strengthened(coat.toners, strengths) }));
  const needed = amountsNeeded(book, recipe, parts, additions?.components, asked);
  const shown = (grams: Rational) => decimal(grams, places);
  const several = needed.coats.length > 1;
  const cups = needed.coats.map((coat) => ({ ...coat, grams: several ? roundToStep(coat.grams, step) : coat.grams }));
  const poured = cups.filter(({ grams }) => grams.gt(0));
  const weighable = sum(poured.map(({ grams }) => roundToStep(grams, step)));
  if (capacity && weighable.gt(capacity))
    throw new Unanswerable(`${scaleName} carries ${plain(capacity)} g; this is ${shown(weighable)} g without the cup.`);
  const amounts = poured.map(({ parts, grams }) =>
    scaleTo(parts, roundToStep(grams, step).gt(0) ? roundToStep(grams, step) : grams),
  );
  const all = together(...amounts);
  const system = recipe.system && systemNamed(book, recipe.system.is);
  const ready = readyAnswer(book, additions, system, all, step, places);
  const voc = vocAnswer(
    book,
    poured.map(({ coat }, n) => sprayedCup(book, coat.name, amounts[n]!, additions?.components)),
    additions?.components ? 'ready to spray' : 'poured',
  );
  const { liquids, missing } = liquidsOf(book, all);
  const millilitres = missing.length > 0 ? undefined : sum(liquids.map(({ grams, density }) => grams.div(density)));
  return {
    formula: recipe.id,
    name: recipe.name,
    weight: needed.basis.length > 0 ? decimal(needed.weight, places + 2) : plain(needed.weight),
    weighable: shown(weighable),
    differs: needed.basis.length === 0 && !weighable.equals(needed.weight),
    scale: `${shown(step)} g`,
    basis: needed.basis,
    undercoat: undercoatSheet(book, recipe, needed.weight, step, asked.booth),
    pours: cups.flatMap(({ coat, parts, grams }) => poursOf(coat.name, parts, grams, step)),
    total: shown(weighable),
    coats: cups.map(({ coat, grams }) => ({
      coat: coat.name,
      weight: shown(roundToStep(grams, step)),
      sprayed: coat.coats ?? null,
    })),
    strengths: [...strengths].map(([toner, { lot, strength }]) => ({ toner, lot, percent: plain(strength.mul(100)) })),
    volume: {
      millilitres: millilitres ? rounded(millilitres.valueOf(), 1) : null,
      density: millilitres?.gt(0) ? rounded(weighable.div(millilitres).valueOf(), 3) : null,
      missing: missing.map(lackingText),
    },
    voc,
    cost: costAnswer(book, all, millilitres, needed.area),
    stock: stockAnswer(book, all, places),
    readyToSpray: ready,
    cautions: cautionsFor(book, all, ready, voc),
  };
}

/** A coat that is too little for the scale has no pours and is shown as it is. */
const poursOf = (coat: string, parts: readonly Part[], grams: Rational, step: Rational): PourRow[] =>
  grams.lte(0)
    ? []
    : pourSheet(parts, grams, step).pours.map((pour) => ({
        coat,
        toner: pour.code,
        grams: pour.grams,
        cumulative: pour.cumulative,
      }));

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

function strengthened(parts: readonly Part[], strengths: ReadonlyMap<string, LotStrength>): Part[] {
  return atStrength(parts, new Map([...strengths].map(([code, { strength }]) => [code, strength]))).parts;
}

function cautionsFor(book: Book, amounts: readonly Amount[], ready: ReadyAnswer | null, voc: VocAnswer): Caution[] {
  const hardener =
    (ready?.lines.some((line) => line.role === 'hardener') ?? false) ||
    amounts.some(({ code }) => materialNamed(book, code)?.kind === 'hardener');
  return cautions({
    hardener,
    waterborne: amounts.some(({ code }) => materialNamed(book, code)?.water?.gt(0)),
    ...(voc.actual !== null && voc.date ? { vocAsOf: voc.date } : {}),
    kept: ready?.keeps != null,
  });
}
