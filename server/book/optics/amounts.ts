/** What parts by weight mean to the optics of a paint: let-downs taken apart, shares by the book's basis. */
import { sum } from '../../exact/rational.ts';
import type { Book } from '../book.ts';
import type { Part } from '../cards.ts';
import type { Toner } from '../entries/toner.ts';
import { shopOf, tonerNamed } from '../known.ts';

/** Shares of the whole by toner code, together 1 where no weak or strong lot is named. */
export interface Shares {
  readonly shares: ReadonlyMap<string, number>;
  /** Paint system that the toners belong to. */
  readonly system: string;
}

/** Let-downs of let-downs are followed so far; a ring of them ends here. */
const DEEPEST = 5;

/**
 * Shares of a mixture; a sentence when its parts do not tell them. A toner whose lot is named counts with the strength of the lot,
 * which changes what it does and not what the whole weighs; any other as of the standard lot.
 */
export function sharesOf(book: Book, parts: readonly Part[]): Shares | string {
  const amounts = new Map<string, number>();
  let total = 0;
  for (const { code, parts: amount, lot } of parts) {
    const own = new Map<string, number>();
    const problem = add(book, code, amount.valueOf(), own, 0);
    if (problem !== undefined) return problem;
    const strength = strengthOf(book, code, lot);
    for (const [within, each] of own) {
      total += each;
      amounts.set(within, (amounts.get(within) ?? 0) + each * strength);
    }
  }
  if (!(total > 0)) return 'it holds nothing that stays in the film';
  const systems = new Set([...amounts.keys()].flatMap((code) => tonerNamed(book, code)?.system ?? []));
  if (systems.size > 1) return `it mixes the systems ${[...systems].join(' and ')}`;
  const shares = new Map([...amounts].sort(byCode).map(([code, amount]) => [code, amount / total] as const));
  return { shares, system: [...systems][0] ?? '' };
}

/** Against the standard lot; a lot that the toner does not list (any more) is taken for the standard. */
function strengthOf(book: Book, code: string, lot: string | undefined): number {
  if (lot === undefined) return 1;
  const strength = tonerNamed(book, code)
    ?.lots.find((one) => one.lot === lot)
    ?.strength?.valueOf();
  return strength !== undefined && strength > 0 ? strength : 1;
}

/** What one part of a toner adds, by the code of what is in it; a sentence when that is not known. */
export function unitAmounts(book: Book, code: string): ReadonlyMap<string, number> | string {
  const amounts = new Map<string, number>();
  return add(book, code, 1, amounts, 0) ?? amounts;
}

/** Shares as parts by weight that add up to 100; the toners are no let-downs. */
export function partsOfShares(book: Book, shares: ReadonlyMap<string, number>): Map<string, number> {
  const parts = [...shares].map(([code, share]) => {
    const unit = unitAmounts(book, code);
    return [code, typeof unit === 'string' ? share : share / (unit.get(code) ?? 1)] as const;
  });
  const total = parts.reduce((whole, [, amount]) => whole + amount, 0);
  return new Map(parts.map(([code, amount]) => [code, (100 * amount) / total]));
}

/**
 * Shares of what is in a mixture as parts of the toners that its lines name, let-downs among them, adding up to `total`. A toner that
 * stands in the lines as a let-down only is weighed as that, and what the let-down brings along is taken off the others.
 */
export function partsOfLines(
  book: Book,
  lines: readonly Part[],
  shares: ReadonlyMap<string, number>,
  total: number,
): Map<string, number> {
  const left = new Map(shares);
  const raw = new Map<string, number>();
  const plain = new Set(lines.map(({ code }) => code).filter((code) => !tonerNamed(book, code)?.madeOf.length));
  const whole = sum(lines.map((line) => line.parts)).valueOf();
  for (const { code, parts } of lines) {
    if (plain.has(code)) continue;
    const unit = unitAmounts(book, code);
    const of = tonerNamed(book, code)?.letdownOf;
    if (typeof unit === 'string' || of === undefined) continue;
    const amount = plain.has(of) ? parts.valueOf() / whole : (left.get(of) ?? 0) / (unit.get(of) ?? 1);
    raw.set(code, amount);
    for (const [within, each] of unit) left.set(within, (left.get(within) ?? 0) - amount * each);
  }
  for (const code of plain) {
    const unit = unitAmounts(book, code);
    const kept = typeof unit === 'string' ? 1 : (unit.get(code) ?? 1);
    raw.set(code, Math.max(left.get(code) ?? 0, 0) / kept);
  }
  const all = [...raw.values()].reduce((amount, one) => amount + one, 0);
  return new Map(lines.map(({ code }) => [code, (total * (raw.get(code) ?? 0)) / all]));
}

/** Weight of these amounts as they are poured: in a book that counts by solids more than what stays in the film. */
export function pouredWeight(book: Book, amounts: ReadonlyMap<string, number>): number {
  let weight = 0;
  for (const [code, amount] of amounts) {
    const unit = unitAmounts(book, code);
    weight += amount / (typeof unit === 'string' ? 1 : (unit.get(code) ?? 1));
  }
  return weight;
}

const byCode = ([a]: readonly [string, number], [b]: readonly [string, number]): number => (a < b ? -1 : 1);

function add(
  book: Book,
  code: string,
  amount: number,
  amounts: Map<string, number>,
  depth: number,
): string | undefined {
  const toner = tonerNamed(book, code);
  if (!toner) return `${code} is not in this book`;
  if (toner.kind === 'reducer' || amount === 0) return undefined;
  if (toner.madeOf.length > 0 && depth < DEEPEST) {
    const whole = sum(toner.madeOf.map((one) => one.parts)).valueOf();
    if (!(whole > 0)) return `the let-down ${code} has no parts`;
    for (const one of toner.madeOf) {
      const problem = add(book, one.code, (amount * one.parts.valueOf()) / whole, amounts, depth + 1);
      if (problem !== undefined) return problem;
    }
    return undefined;
  }
  const kept = keptOf(book, toner);
  if (typeof kept === 'string') return kept;
  amounts.set(code, (amounts.get(code) ?? 0) + amount * kept);
  return undefined;
}

/** What counts of a part of this toner: all of it, or what stays in the dry film. */
function keptOf(book: Book, toner: Toner): number | string {
  if (shopOf(book).concentration === 'parts') return 1;
  if (toner.solids?.by !== 'weight') return `toner ${toner.code} states no solids by weight, which this book counts by`;
  return toner.solids.share.valueOf();
}

export const hasFlakes = (book: Book, codes: Iterable<string>): boolean =>
  [...codes].some((code) => ['flake', 'pearl'].includes(tonerNamed(book, code)?.kind ?? ''));
