/** The VOC of a mix as it is sprayed, beside the limit that the book holds it against. Arithmetic, and no clearance to spray. */

import type { Book } from '../book/book.ts';
import type { Shop } from '../book/entries/shop.ts';
import { shopOf } from '../book/known.ts';
import { lackingText, volatilesOf } from '../book/materials.ts';
import type { Rational } from '../exact/rational.ts';
import {
  eu200442,
  judgeVoc,
  multiStageVoc,
  type VocContent,
  type VocCounting,
  type VocFigure,
  type VocLimit,
  vocContent,
  vocRegimes,
} from '../paint/voc.ts';
import type { Amount } from '../paint/weights.ts';
import { rounded } from './number.ts';

/** Grams per litre; null where something is not known. */
export interface VocFigures {
  readonly actual: number | null;
  readonly lessWater: number | null;
  readonly lessWaterAndExempt: number | null;
}

export interface VocAnswer extends VocFigures {
  /** As the book names it; null where the book has no `voc` line. */
  readonly regime: string | null;
  readonly regimeName: string | null;
  readonly category: string | null;
  /** The day on which the limit was looked up. */
  readonly date: string | null;
  readonly limit: number | null;
  /** Which of the three figures the limit is for. */
  readonly figure: VocFigure | null;
  readonly within: boolean | null;
  /** Of what: the mix ready to spray, or as poured where the system states nothing to add. */
  readonly as: 'poured' | 'ready to spray';
  /** The coat that the figures are of, the one nearest to the limit. */
  readonly coat: string | null;
  readonly coats: readonly ({ readonly coat: string } & VocFigures)[];
  /** Toner lines that lack density, solids or water. */
  readonly missing: readonly string[];
  readonly notes: readonly string[];
}

export interface Sprayed {
  readonly coat: string;
  /** What is in the cup of this coat. */
  readonly amounts: readonly Amount[];
}

interface Held extends VocCounting {
  readonly id: string;
  readonly name: string;
  readonly date: string;
  readonly confirm: string | undefined;
  readonly limit: VocLimit;
}

/** The limit that the book names: one of its own, or one of a regulation. */
export function limitOf({ voc, limits }: Shop): Held | undefined {
  if (!voc) return undefined;
  const own = limits.find((one) => one.regime === voc.regime && one.category === voc.category);
  const regime = vocRegimes.find((one) => one.id === voc.regime);
  const listed = regime?.limits.find((one) => one.id === voc.category);
  if (own) {
    const { waterDensity, exemptCounts } = regime ?? { ...eu200442, exemptCounts: own.figure !== 'lessWaterAndExempt' };
    const limit = { id: own.category, name: own.category, limit: own.limit, figure: own.figure };
    return { id: own.regime, name: own.regime, date: own.when, confirm: undefined, limit, waterDensity, exemptCounts };
  }
  if (!regime || !listed) return undefined;
  const { id, name, asOf, waterDensity, exemptCounts } = regime;
  return { id, name, date: asOf, confirm: listed.confirm ?? regime.confirm, limit: listed, waterDensity, exemptCounts };
}

interface OfCoat {
  readonly coat: string;
  readonly content: VocContent | undefined;
}

export function vocAnswer(book: Book, sprayed: readonly Sprayed[], as: VocAnswer['as']): VocAnswer {
  const shop = shopOf(book);
  const held = limitOf(shop);
  const counting = held ?? eu200442;
  const missing = new Set<string>();
  const notes: string[] = [];
  const coats = sprayed.map(({ coat, amounts }): OfCoat => {
    const { liquids, missing: lacking, waterless } = volatilesOf(book, amounts);
    for (const one of lacking) missing.add(lackingText(one));
    if (waterless && lacking.length === 0 && notes.length === 0)
      notes.push('No toner states water, so everything that leaves the film is counted as VOC.');
    return { coat, content: lacking.length > 0 || liquids.length === 0 ? undefined : vocContent(liquids, counting) };
  });
  const figure = held?.limit.figure ?? 'lessWater';
  const staged = held && severalStages(shop, held, coats);
  const worst = worstOf(coats, figure);
  const judged = staged?.value ?? worst?.content?.[figure];
  const judgement =
    held && worst?.content && coats.every((one) => one.content)
      ? judgeVoc(staged?.value ? { ...worst.content, [figure]: staged.value } : worst.content, held.limit)
      : undefined;
  const shown = figuresOf(worst?.content);
  return {
    ...shown,
    ...(staged?.value ? { [figure]: gramsPerLitre(judged) } : {}),
    regime: held?.id ?? shop.voc?.regime ?? null,
    regimeName: held?.name ?? null,
    category: shop.voc?.category ?? null,
    date: held?.date ?? null,
    limit: held ? gramsPerLitre(held.limit.limit) : null,
    figure: held ? figure : null,
    within: judgement && !staged?.open ? judgement.within : null,
    as,
    coat: coats.length > 1 && !staged?.value ? (worst?.coat ?? null) : null,
    coats: coats.map(({ coat, content }) => ({ coat, ...figuresOf(content) })),
    missing: [...missing],
    notes: [...notes, ...(staged ? [staged.note] : []), ...(held?.confirm ? [`${sentence(held.confirm)}.`] : [])],
  };
}

/** 40 CFR 59.104(a)(2): a topcoat of several stages is one coating in which the clear coat counts twice. */
function severalStages(
  { clearVoc }: Shop,
  { limit }: Held,
  coats: readonly OfCoat[],
): { value?: Rational; open?: true; note: string } | undefined {
  if (limit.id !== 'multi-stage-topcoat') return undefined;
  const figures = coats.map((one) => one.content?.[limit.figure]);
  if (!clearVoc)
    return {
      open: true,
      note: "A topcoat of several stages counts its clear coat twice: say its VOC in the book, such as 'clear 418 g/l'.",
    };
  if (figures.some((one) => one === undefined)) return { open: true, note: 'Not every coat could be computed.' };
  const [base, ...mids] = figures as Rational[];
  return {
    value: multiStageVoc(base!, mids, clearVoc),
    note: `Of all stages together: the base, each mid coat, and the clear coat of ${gramsPerLitre(clearVoc)} g/l twice.`,
  };
}

function worstOf(coats: readonly OfCoat[], figure: VocFigure): OfCoat | undefined {
  return coats.reduce<OfCoat | undefined>((worst, one) => {
    const [high, value] = [worst?.content?.[figure], one.content?.[figure]];
    return !worst || (value && (!high || value.gt(high))) ? one : worst;
  }, undefined);
}

const figuresOf = (content: VocContent | undefined): VocFigures => ({
  actual: gramsPerLitre(content?.actual),
  lessWater: gramsPerLitre(content?.lessWater),
  lessWaterAndExempt: gramsPerLitre(content?.lessWaterAndExempt),
});

const gramsPerLitre = (value: Rational | undefined): number | null => (value ? rounded(value.valueOf(), 1) : null);
const sentence = (text: string): string => text[0]!.toUpperCase() + text.slice(1);
