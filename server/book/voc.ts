/**
 * The VOC of a mix as it is sprayed, and the limit that the book holds it against: for the sheet, for the review and for what is expected
 * of a formula. Arithmetic, and no clearance to spray.
 */
import { type Rational, rational } from '../exact/rational.ts';
import type { Component } from '../paint/ready.ts';
import {
  eu200442,
  multiStageVoc,
  type VocContent,
  type VocCounting,
  type VocFigure,
  type VocLimit,
  vocContent,
  vocRegimes,
} from '../paint/voc.ts';
import { type Amount, scaleTo } from '../paint/weights.ts';
import type { Book } from './book.ts';
import type { Shop } from './entries/shop.ts';
import { shopOf } from './known.ts';
import { type Lacking, type MaterialsByCode, volatilesOf } from './materials.ts';
import { type Additions, choicesOf, everyAdditions, readyMix } from './ready.ts';
import type { Recipe, RecipeCoat } from './recipe.ts';

/** What is in one cup when it is sprayed. */
export interface Sprayed {
  readonly coat: string;
  readonly amounts: readonly Amount[];
  /** Where a code is no toner of the book but a mixture, such as an undercoat of a certain grey. */
  readonly materials?: MaterialsByCode;
}

/** A limit as the book holds a mix against it. */
export interface HeldLimit extends VocCounting {
  readonly id: string;
  readonly name: string;
  /** The day on which it was looked up. */
  readonly date: string;
  readonly confirm: string | undefined;
  readonly limit: VocLimit;
}

/** The limit that the book names for its colours: one of its own, or one of a regulation. */
export function limitOf(shop: Shop): HeldLimit | undefined {
  return shop.voc && limitNamed(shop, shop.voc.regime, shop.voc.category);
}

/** @param category of the regulation or of the book's own limits. */
export function limitNamed({ limits }: Shop, regimeId: string, category: string): HeldLimit | undefined {
  const own = limits.find((one) => one.regime === regimeId && one.category === category);
  const regime = vocRegimes.find((one) => one.id === regimeId);
  const listed = regime?.limits.find((one) => one.id === category);
  if (own) {
    const { waterDensity, exemptCounts } = regime ?? { ...eu200442, exemptCounts: own.figure !== 'lessWaterAndExempt' };
    const limit: VocLimit = { id: category, name: category, limit: own.limit, figure: own.figure };
    const staged = listed?.staged ? { staged: listed.staged } : {};
    return {
      ...{ id: own.regime, name: own.regime, date: own.when, confirm: undefined, waterDensity, exemptCounts },
      limit: { ...limit, ...staged },
    };
  }
  if (!regime || !listed) return undefined;
  const { id, name, asOf, waterDensity, exemptCounts } = regime;
  return { id, name, date: asOf, confirm: listed.confirm ?? regime.confirm, limit: listed, waterDensity, exemptCounts };
}

/** The limit that the undercoat is held against: the category that the book names for it, else the usual one of the regulation. */
export function undercoatLimit(shop: Shop): { held: HeldLimit | undefined; category: string } | undefined {
  if (!shop.voc) return undefined;
  const { regime, undercoat } = shop.voc;
  const category = undercoat ?? vocRegimes.find((one) => one.id === regime)?.undercoat;
  return category === undefined ? undefined : { held: limitNamed(shop, regime, category), category };
}

export interface VocOfCoat {
  readonly coat: string;
  /** Undefined where a figure of a toner is missing. */
  readonly content: VocContent | undefined;
}

export interface VocOfMix {
  /** Of the three figures the one that the limit is for; less water where no limit is named. */
  readonly figure: VocFigure;
  readonly coats: readonly VocOfCoat[];
  /** The coat nearest to the limit. */
  readonly worst: VocOfCoat | undefined;
  /** How a topcoat of several stages counts, where the limit is for one. */
  readonly staged: Staged | undefined;
  /** g/l that stands against the limit; undefined where it cannot be told. */
  readonly value: Rational | undefined;
  /** Whether something is not known that the value hangs on. */
  readonly open: boolean;
  readonly missing: readonly Lacking[];
  /** No toner states water, so all that leaves is counted. */
  readonly waterless: boolean;
}

export type Staged = { readonly value: Rational; readonly clear: Rational } | { readonly lacks: 'clear' | 'coat' };

/** The VOC of cups of one formula, which are the coats of one topcoat. */
export function vocOfMix(book: Book, sprayed: readonly Sprayed[], held: HeldLimit | undefined): VocOfMix {
  const missing: Lacking[] = [];
  let waterless = false;
  const coats = sprayed.map(({ coat, amounts, materials }): VocOfCoat => {
    const found = volatilesOf(book, amounts, materials);
    missing.push(...found.missing);
    waterless ||= found.waterless && found.missing.length === 0;
    const whole = found.missing.length === 0 && found.liquids.length > 0;
    return { coat, content: whole ? vocContent(found.liquids, held ?? eu200442) : undefined };
  });
  const figure = held?.limit.figure ?? 'lessWater';
  const staged = held && severalStages(shopOf(book), held, coats);
  const worst = worstOf(coats, figure);
  const known = coats.length > 0 && coats.every((one) => one.content);
  const open = !known || (staged !== undefined && 'lacks' in staged);
  const value = staged && 'value' in staged ? staged.value : worst?.content?.[figure];
  return { figure, coats, worst, staged, value: open ? undefined : value, open, missing, waterless };
}

/** 40 CFR 59.104(a)(2): base, mid coats and clear are one coating, in which the clear coat counts twice. */
function severalStages({ clearVoc }: Shop, { limit }: HeldLimit, coats: readonly VocOfCoat[]): Staged | undefined {
  if (!limit.staged || (limit.staged === 'with a clear coat' && !clearVoc)) return undefined;
  if (!clearVoc) return { lacks: 'clear' };
  const figures = coats.map((one) => one.content?.[limit.figure]);
  const [base, ...mids] = figures;
  if (!base || mids.some((one) => one === undefined)) return { lacks: 'coat' };
  return { value: multiStageVoc(base, mids as Rational[], clearVoc), clear: clearVoc };
}

function worstOf(coats: readonly VocOfCoat[], figure: VocFigure): VocOfCoat | undefined {
  return coats.reduce<VocOfCoat | undefined>((worst, one) => {
    const [high, value] = [worst?.content?.[figure], one.content?.[figure]];
    return !worst || (value && (!high || value.gt(high))) ? one : worst;
  }, undefined);
}

/** A formula as it is sprayed with one of the reducers of its system. */
export interface VocAsSprayed {
  /** Undefined where its system adds nothing: as poured. */
  readonly additions: Additions | undefined;
  readonly found: VocOfMix;
}

/** With each of the reducers among which the booth chooses: what is said of a formula has to hold in every booth. */
export const everyVoc = (book: Book, { system, coats }: Recipe): VocAsSprayed[] => everyVocOf(book, system?.is, coats);

/** @param system whose hardener and reducers go in */
export function everyVocOf(book: Book, system: string | undefined, coats: readonly RecipeCoat[]): VocAsSprayed[] {
  const held = limitOf(shopOf(book));
  const every = everyAdditions(book, system);
  return (every.length > 0 ? every : [undefined]).map((additions) => ({
    additions,
    found: vocOfMix(book, sprayedCoats(book, coats, additions?.components), held),
  }));
}

/** The one that gives most. */
export const mostVoc = (all: readonly VocAsSprayed[]): VocAsSprayed =>
  all.reduce((high, one) =>
    one.found.value && (!high.found.value || one.found.value.gt(high.found.value)) ? one : high,
  );

/** `ready to spray with WB-R30`, `as poured`. */
export function sprayedAs({ additions }: VocAsSprayed): string {
  if (!additions) return 'as poured';
  const reducer = choicesOf(additions.system).find((one) => additions.lines.includes(one));
  return `ready to spray${reducer ? ` with ${reducer.code}` : ''}`;
}

/** What each coat's cup holds when it is sprayed. */
export function sprayedCup(
  book: Book,
  coat: string,
  amounts: readonly Amount[],
  components: readonly Component[] | undefined,
  materials?: MaterialsByCode,
): Sprayed {
  const added = components ? readyMix(book, amounts, components, materials)?.lines.slice(1) : undefined;
  const all = [...amounts, ...(added ?? []).map(({ code, grams }) => ({ code, grams }))];
  return { coat, amounts: all, ...(materials ? { materials } : {}) };
}

/** The coats of a recipe, 100 g of each: what a litre gives off does not hang on how much is made. */
export function sprayedCoats(
  book: Book,
  coats: readonly RecipeCoat[],
  components: readonly Component[] | undefined,
): Sprayed[] {
  return coats
    .filter(({ toners }) => toners.some(({ parts }) => parts.gt(0)))
    .map(({ name, toners }) => sprayedCup(book, name, scaleTo(toners, HUNDRED), components));
}

const HUNDRED = rational(100);
