/** Formulas for a reading: few toners, several different answers, and what the reading does not determine. */
import type { Book } from '../book/book.ts';
import type { EntryCell } from '../book/cell.ts';
import { type Colours, coloursIn, labOf } from '../book/colours.ts';
import { toleranceFor } from '../book/entries/shop.ts';
import { cardIn, measuredIn, shopOf, tonerNamed } from '../book/known.ts';
import { unitAmounts } from '../book/optics/amounts.ts';
import type { Below } from '../book/optics/below.ts';
import type { Learned } from '../book/optics/learn.ts';
import { opticsOf } from '../book/optics/optics.ts';
import { uncertainOf } from '../book/optics/predicted.ts';
import { type Side, systemsLearned } from '../book/optics/samples.ts';
import { recipeIn } from '../book/recipe.ts';
import { byWorth } from '../paint/formulate.ts';
import { formulateEffect } from './formulate-effect.ts';
import { type Demands, type Judge, judgeOf } from './formulate-limits.ts';
import { type FormulateOver, isRelative, overOf, sprayedOn } from './formulate-over.ts';
import { formulateSolid } from './formulate-solid.ts';
import { tonersFor } from './formulate-toners.ts';
import { rounded } from './number.ts';
import { Unanswerable } from './subject.ts';

export interface FormulateAsked extends Demands {
  readonly system?: string | undefined;
  /** Toners besides the binder. */
  readonly most?: number | undefined;
  readonly must?: readonly string[];
  readonly mustNot?: readonly string[];
  /** Largest share of the formula, per cent, by toner. */
  readonly limits?: ReadonlyMap<string, number>;
  /** What it is sprayed on: a grey (`N5`, `L* 51`) or the id of a formula. */
  readonly undercoat?: string | undefined;
  /** The coats that are sprayed on it, where they are not to be so many that it hides; or their dry film, um. */
  readonly coats?: number | undefined;
  readonly film?: number | undefined;
}

export interface Solution {
  readonly toners: readonly { readonly code: string; readonly parts: number }[];
  /** Root mean square over angles and lights. */
  readonly dE00: number;
  readonly worst: { readonly geometry: string; readonly illuminant: string; readonly dE00: number };
  /** 9 of 10 cards fall within this of the predicted colour (at the least certain angle). */
  readonly plusMinus: number;
  /** Largest dE00 under the lights after the first; null when the reading does not tell it. */
  readonly metamerism: number | null;
  /** Money for 1 kg as poured; null when a price is missing. */
  readonly cost: number | null;
  /** Grams per litre ready to spray, as the book's limit counts it; null when something is not known. */
  readonly voc: number | null;
  /** Coats to hide over its best grey; null: it hides over none. */
  readonly coats: number | null;
  readonly bestGrey: { readonly munsellValue: number; readonly lightness: number } | null;
  /** Coats to hide over what was named; null: it is not hidden in 60, or nothing was named. */
  readonly coatsOver: number | null;
}

export interface FormulateAnswer {
  readonly reading: string;
  readonly system: string;
  readonly side: Side;
  readonly state: 'ready' | 'recomputing';
  readonly tolerance: number;
  /** Of what it is sprayed on, where that was asked for. */
  readonly over: FormulateOver | null;
  readonly solutions: readonly Solution[];
  /** Whether the best comes within the tolerance. */
  readonly reachable: boolean;
  /** Whether no other set of as few toners comes as near, as far as the ± can tell. */
  readonly unique: boolean;
  /** Sets of toners that come within the ± of the best. */
  readonly equals: number;
  /** Of a reading of Lab under one light: how far the answers part under each other light. */
  readonly undetermined: readonly { readonly light: string; readonly apart: number }[];
  readonly currency: string | null;
  readonly notes: readonly string[];
}

/** What both sides of formulating need, worked out once. */
export interface Task {
  readonly book: Book;
  readonly reading: EntryCell;
  readonly colours: Colours;
  readonly geometries: readonly string[];
  readonly spectral: boolean;
  readonly system: string;
  readonly learned: Learned;
  readonly state: 'ready' | 'recomputing';
  readonly tolerance: number;
  /** Codes that may be used, binders apart. */
  readonly candidates: readonly string[];
  readonly must: readonly string[];
  /** Shares of the whole, by code. */
  readonly limits: ReadonlyMap<string, number>;
  readonly most: number;
  /** Of VOC and price, where limits are demanded. */
  readonly judge: Judge | undefined;
  /** What it is sprayed on, where that is named. */
  readonly below: Below | undefined;
  /** Dry film that may not hide it, um. */
  readonly film: number | undefined;
  /** The binder, and how much of it there is in any case. */
  readonly binder: { readonly code: string; readonly share: number } | undefined;
}

export type Found = Pick<FormulateAnswer, 'reachable' | 'unique' | 'equals' | 'undetermined'> & {
  readonly solutions: readonly Solution[];
  readonly notes: readonly string[];
};

const MOST = 5;

/** @throws Unanswerable when the reading or the book does not allow it; the message says what to do. */
export function formulate(book: Book, reading: EntryCell, asked: FormulateAsked = {}): FormulateAnswer {
  const { task, notes, side } = taskOf(book, reading, asked);
  let found: Found;
  try {
    found = side === 'solid' ? formulateSolid(task) : formulateEffect(task);
  } catch (error) {
    if (error instanceof RangeError)
      throw new Unanswerable(`${error.message[0]!.toUpperCase()}${error.message.slice(1)}.`);
    throw error;
  }
  return {
    reading: measuredIn(book, reading).id,
    system: task.system,
    side,
    state: task.state,
    tolerance: task.tolerance,
    over: overOf(task, asked, side),
    ...found,
    // one answer alone parts from nothing
    undetermined: found.solutions.filter(({ dE00 }) => dE00 <= task.tolerance).length > 1 ? found.undetermined : [],
    solutions: [...found.solutions].sort(inOrder(task.tolerance)),
    currency: found.solutions.some((one) => one.cost !== null) ? currencyOf(book, task) : null,
    notes: [...notes, ...found.notes, ...saying(task, found)],
  };
}

/** As the search puts them, with money for what is poured. */
function inOrder(tolerance: number): (a: Solution, b: Solution) => number {
  const order = byWorth(tolerance);
  const worth = ({ dE00, plusMinus, metamerism, cost }: Solution) => ({ rms: dE00, plusMinus, metamerism, cost });
  return (a, b) => order(worth(a), worth(b));
}

function saying(task: Task, found: Found): string[] {
  const best = found.solutions.reduce<Solution | undefined>((a, b) => (a && a.dE00 <= b.dE00 ? a : b), undefined);
  const notes: string[] = [];
  if (!best) {
    const reasons = task.judge?.reasons() ?? [];
    return reasons.length > 0
      ? [`no mixture that comes near the reading keeps within what is demanded: ${reasons.join(', and ')}`]
      : ['what is demanded and forbidden leaves no mixture'];
  }
  if (!found.reachable)
    notes.push(
      `it cannot be reached within ${task.tolerance} dE00 with these toners; the nearest is ${best.dE00.toFixed(1)} dE00 away`,
    );
  if (!task.spectral && found.reachable)
    notes.push(
      `Lab under one light does not determine the formula: ${found.solutions.length > 1 ? 'these' : 'this and others'} match under it and part under others`,
    );
  else if (task.spectral && !found.unique)
    notes.push(
      `${found.equals} sets of toners come equally near as far as the ± can tell; hundredths between them mean nothing`,
    );
  const used = found.solutions.flatMap(({ toners }) => toners.map(({ code }) => code));
  const unsure = uncertainOf(task.learned, used);
  if (unsure.length > 0) notes.push(`the book knows too little of ${unsure.join(', ')} to rely on formulas with them`);
  if (task.binder)
    notes.push(
      `${task.binder.code} is taken as the cards usually have it: how much binder a paint needs does not show in its colour`,
    );
  return notes;
}

function taskOf(book: Book, reading: EntryCell, asked: FormulateAsked): { task: Task; side: Side; notes: string[] } {
  const colours = coloursIn(book, reading);
  const id = measuredIn(book, reading).id;
  const angled = colours.angles.filter(({ geometry }) => geometry.includes('as'));
  const angles = angled.length > 0 ? angled : colours.angles.slice(0, 1);
  const side: Side = angled.length > 0 ? 'effect' : 'solid';
  if (angles.length === 0) throw new Unanswerable(`Reading ${id} holds no values.`);
  const spectral = angles.every((angle) => angle.spectrum !== undefined);
  const main = shopOf(book).viewings[0]!;
  if (!spectral && !angles.every((angle) => labOf(angle, main, colours.bandpass)))
    throw new Unanswerable(`Reading ${id} has neither spectra nor Lab under ${main.illuminant}/${main.observer}.`);
  const { system, notes } = systemFor(book, reading, side, asked.system);
  const { learned, state } = opticsOf(book, system, side);
  if (!learned || state === 'none')
    throw new Unanswerable(
      `No card of system ${system} tells of ${side} colours: enter spray-outs or drawdowns of its toners.`,
    );
  const { notes: tonerNotes, ...used } = tonersFor(book, learned, side, asked);
  const { below, film } = sprayedOn(book, learned, side, asked);
  if (film !== undefined && isRelative(learned, side))
    notes.push(
      'what one coat covers is a guess, since no film of known thickness was read: spray a card over this undercoat',
    );
  const geometry = angles.find((angle) => angle.geometry === '45as45')?.geometry ?? angles[0]!.geometry;
  return {
    side,
    notes: [...notes, ...tonerNotes],
    task: {
      book,
      reading,
      colours,
      geometries: angles.map((angle) => angle.geometry),
      spectral,
      system,
      learned,
      state: state === 'ready' ? 'ready' : 'recomputing',
      tolerance: toleranceFor(shopOf(book), geometry).limit,
      ...used,
      most: Math.max(1, Math.min(asked.most ?? MOST, 8)),
      judge: judgeOf(book, system, asked),
      below,
      film,
    },
  };
}

/** Formulas that have the reading as their standard, or the one that a card was sprayed with. */
function formulasOf(book: Book, reading: EntryCell): EntryCell[] {
  const { kind } = reading.entry;
  if (kind === 'sprayout') {
    const { formula } = cardIn(book, reading);
    const cell = formula === undefined ? undefined : book.find('formula', formula);
    return cell ? [cell] : [];
  }
  return [...book.usersOf(`reading:${measuredIn(book, reading).id}`)].filter(
    ({ entry }) => entry.kind === 'formula' || entry.kind === 'variant',
  );
}

/** The system asked for; else that of a formula that has the reading as its standard; else the one with most cards. */
function systemFor(
  book: Book,
  reading: EntryCell,
  side: Side,
  asked: string | undefined,
): { system: string; notes: string[] } {
  const learned = systemsLearned(book).filter((system) => opticsOf(book, system, side).learned !== undefined);
  if (asked !== undefined) {
    if (!book.find('system', asked)) throw new Unanswerable(`There is no system '${asked}' in this book.`);
    return { system: asked, notes: [] };
  }
  if (learned.length === 0)
    throw new Unanswerable(`No card of the book tells of ${side} colours, so no formula can be found for one.`);
  const own = formulasOf(book, reading).map((cell) => recipeIn(book, cell).system?.is);
  const named = learned.find((system) => own.includes(system));
  if (named !== undefined || learned.length === 1) return { system: named ?? learned[0]!, notes: [] };
  const cards = (system: string) => opticsOf(book, system, side).learned!.cards;
  const system = [...learned].sort((a, b) => cards(b) - cards(a))[0]!;
  return { system, notes: [`system ${system} was taken, of which most cards are known; say another with --system`] };
}

const currencyOf = (book: Book, task: Task): string | null =>
  task.candidates.map((code) => tonerNamed(book, code)?.price?.currency).find((one) => one !== undefined) ?? null;

/** Parts that add up to 100, to a hundredth, largest first. */
export function partsShown(parts: ReadonlyMap<string, number>): { code: string; parts: number }[] {
  return [...parts]
    .map(([code, amount]) => ({ code, parts: rounded(amount, 2) }))
    .filter((one) => one.parts > 0)
    .sort((a, b) => b.parts - a.parts);
}

/** Money for 1 kg as poured. */
export function costOfParts(book: Book, parts: ReadonlyMap<string, number>): number | null {
  let cost = 0;
  const currencies = new Set<string>();
  for (const [code, amount] of parts) {
    const price = tonerNamed(book, code)?.price;
    if (!price) return null;
    currencies.add(price.currency);
    cost += (amount / 100) * price.perGram.valueOf() * 1000;
  }
  return currencies.size === 1 ? rounded(cost, 2) : null;
}

/** Money for one unit of share of each toner, for ordering answers; a missing price counts as none. */
export function priceOfShare(book: Book, code: string): number {
  const unit = unitAmounts(book, code);
  const kept = typeof unit === 'string' ? 1 : (unit.get(code) ?? 1);
  return (tonerNamed(book, code)?.price?.perGram.valueOf() ?? 0) / kept;
}
