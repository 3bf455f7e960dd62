/** What a formula that is looked for may give off and cost. */
import type { Book } from '../book/book.ts';
import { lackingText, liquidsOf } from '../book/materials.ts';
import { everyVocOf, mostVoc } from '../book/voc.ts';
import { rational } from '../exact/rational.ts';
import { volumeOfMix } from '../paint/volume.ts';
import type { Amount } from '../paint/weights.ts';
import { costAnswer } from './cost.ts';
import { rounded } from './number.ts';

/** Parts by weight that add up to 100, by code. */
export type Parts = ReadonlyMap<string, number>;

export interface Price {
  readonly amount: number;
  readonly per: 'kg' | 'l';
}

export interface Demands {
  /** Grams per litre, as the book's limit counts it; without water where it names none. */
  readonly mostVoc?: number | undefined;
  /** Of the paint as poured. */
  readonly mostPrice?: Price | undefined;
}

/** Judges mixtures, and remembers why those were refused that were. */
export interface Judge {
  readonly allows: (parts: Parts) => boolean;
  /** What the refused ones break or lack; empty while none was refused. */
  readonly reasons: () => readonly string[];
}

const kilogramOf = (parts: Parts): Amount[] =>
  [...parts].flatMap(([code, part]) => (part > 0 ? { code, grams: rational((10 * part).toFixed(6)) } : []));

/** VOC of the paint as an expectation counts it: ready to spray with the reducer that gives most; null where something is not known. */
export function vocOfParts(
  book: Book,
  system: string,
  parts: Parts,
): { value: number | null; missing: readonly string[] } {
  const toners = kilogramOf(parts).map(({ code, grams }) => ({ code, parts: grams, origins: [] }));
  const { additions, found } = mostVoc(everyVocOf(book, system, [{ name: 'top', coats: undefined, toners }]));
  if (additions && !additions.components) return { value: null, missing: [`what ${system} adds to its paint`] };
  const value = found.value ? rounded(found.value.valueOf(), 1) : null;
  return { value, missing: [...new Set(found.missing.map(lackingText))] };
}

/** Money for a kilogram or a litre as poured; null where a price or a density is missing or two currencies meet. */
export function priceOfParts(
  book: Book,
  parts: Parts,
  per: Price['per'],
): { value: number | null; missing: readonly string[] } {
  const amounts = kilogramOf(parts);
  const { liquids, missing } = liquidsOf(book, amounts);
  const volume = missing.length === 0 && liquids.length > 0 ? volumeOfMix(liquids) : undefined;
  const { sums, perLitre, unpriced } = costAnswer(book, [{ amounts }], volume);
  const money = per === 'kg' ? sums : perLitre;
  const lacking = [...unpriced.map((code) => `${code}: no price`), ...(money ? [] : missing.map(lackingText))];
  if (lacking.length > 0 || money?.length !== 1) return { value: null, missing: lacking };
  return { value: Number(money[0]!.amount), missing: [] };
}

/** undefined when nothing is demanded. */
export function judgeOf(book: Book, system: string, { mostVoc, mostPrice }: Demands): Judge | undefined {
  if (mostVoc === undefined && mostPrice === undefined) return undefined;
  const missing = new Set<string>();
  let [leastVoc, leastPrice] = [Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY];
  const note = (lacking: readonly string[]): void => {
    for (const one of lacking) missing.add(one);
  };
  const allows = (parts: Parts): boolean => {
    const voc = mostVoc === undefined ? undefined : vocOfParts(book, system, parts);
    const price = mostPrice && priceOfParts(book, parts, mostPrice.per);
    note([...(voc?.missing ?? []), ...(price?.missing ?? [])]);
    if (voc?.value != null) leastVoc = Math.min(leastVoc, voc.value);
    if (price?.value != null) leastPrice = Math.min(leastPrice, price.value);
    const clean = voc === undefined || (voc.value !== null && voc.value <= mostVoc!);
    const cheap = price === undefined || (price.value !== null && price.value <= mostPrice!.amount);
    return clean && cheap;
  };
  const reasons = (): string[] => [
    ...(mostVoc !== undefined && leastVoc > mostVoc && Number.isFinite(leastVoc)
      ? [`the least VOC of those that come near is ${rounded(leastVoc, 0)} g/l, above ${mostVoc}`]
      : []),
    ...(mostPrice && leastPrice > mostPrice.amount && Number.isFinite(leastPrice)
      ? [
          `the cheapest of those that come near costs ${leastPrice.toFixed(2)} a ${mostPrice.per}, above ${mostPrice.amount}`,
        ]
      : []),
    ...(missing.size > 0 ? [`VOC or price is not known: ${[...missing].sort().join('; ')}`] : []),
  ];
  return { allows, reasons };
}
