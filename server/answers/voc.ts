/** The VOC of a mix as it is sprayed, beside the limit that the book holds it against. Arithmetic, and no clearance to spray. */

import type { Book } from '../book/book.ts';
import { shopOf } from '../book/known.ts';
import { lackingText } from '../book/materials.ts';
import type { Additions } from '../book/ready.ts';
import { type HeldLimit, limitOf, type Sprayed, type Staged, type VocOfMix, vocOfMix } from '../book/voc.ts';
import type { Rational } from '../exact/rational.ts';
import { judgeVoc, type VocContent, type VocFigure } from '../paint/voc.ts';
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
  /** The regulation's own figure of the limit in pounds per US gallon, where it has one. */
  readonly poundsPerGallon: number | null;
  /** Which of the three figures the limit is for. */
  readonly figure: VocFigure | null;
  readonly within: boolean | null;
  /** All coats of a topcoat and its clear as one coating, g/l of the figure; null where the limit does not count them so. */
  readonly staged: number | null;
  /** Of what: the mix ready to spray, or as poured where the system states nothing to add, or not how much. */
  readonly as: 'poured' | 'ready to spray';
  /** The coat that the figures are of, the one nearest to the limit. */
  readonly coat: string | null;
  readonly coats: readonly ({ readonly coat: string } & VocFigures)[];
  /** Toner lines that lack density, solids or water. */
  readonly missing: readonly string[];
  readonly notes: readonly string[];
}

export interface AgainstLimit {
  readonly held: HeldLimit | undefined;
  /** As the book names it, whether there is such a limit or not. */
  readonly named: { readonly regime: string; readonly category: string | undefined } | undefined;
}

/**
 * Against the limit for the colours of the book, unless another is said.
 * @param additions what the system adds; where it does not say how much, nothing is judged
 */
export function vocAnswer(
  book: Book,
  sprayed: readonly Sprayed[],
  additions: Additions | undefined,
  { held, named }: AgainstLimit = { held: limitOf(shopOf(book)), named: shopOf(book).voc },
): VocAnswer {
  const found = vocOfMix(book, sprayed, held);
  const { figure, coats, staged, worst } = found;
  const unready = additions && !additions.components ? additions : undefined;
  const stagedValue = staged && 'value' in staged ? staged.value : undefined;
  return {
    ...figuresOf(worst?.content),
    ...(stagedValue ? { [figure]: gramsPerLitre(stagedValue) } : {}),
    staged: gramsPerLitre(stagedValue),
    regime: held?.id ?? named?.regime ?? null,
    regimeName: held?.name ?? null,
    category: named?.category ?? null,
    date: held?.date ?? null,
    limit: held ? gramsPerLitre(held.limit.limit) : null,
    poundsPerGallon: held?.limit.poundsPerGallon?.valueOf() ?? null,
    figure: held ? figure : null,
    within: unready ? null : withinLimit(found, held),
    as: additions?.components ? 'ready to spray' : 'poured',
    coat: coats.length > 1 && !stagedValue ? (worst?.coat ?? null) : null,
    coats: coats.map(({ coat, content }) => ({ coat, ...figuresOf(content) })),
    missing: [...new Set(found.missing.map(lackingText))],
    notes: [
      ...(unready
        ? [`How much ${unready.system.id} adds is not told in full, so its VOC ready to spray is not known.`]
        : []),
      ...notesOf(found, held),
    ],
  };
}

function withinLimit({ open, value, figure, worst }: VocOfMix, held: HeldLimit | undefined): boolean | null {
  if (!held || open || !worst?.content) return null;
  return judgeVoc({ ...worst.content, [figure]: value }, held.limit).within;
}

function notesOf({ staged, waterless }: VocOfMix, held: HeldLimit | undefined): string[] {
  return [
    ...(waterless ? ['No toner states water, so everything that leaves the film is counted as VOC.'] : []),
    ...(staged ? [stagedNote(staged)] : []),
    ...(held?.confirm ? [`${sentence(held.confirm)}.`] : []),
  ];
}

function stagedNote(staged: Staged): string {
  if ('value' in staged)
    return `Of all stages together: the base, each mid coat, and the clear coat of ${gramsPerLitre(staged.clear)} g/l twice. Confirm on the eCFR how they are weighed (40 CFR 59.104(a)(2)).`;
  return staged.lacks === 'clear'
    ? "A topcoat of several stages counts its clear coat twice: say its VOC in the book, such as 'clear 418 g/l'."
    : 'Not every coat could be computed.';
}

const figuresOf = (content: VocContent | undefined): VocFigures => ({
  actual: gramsPerLitre(content?.actual),
  lessWater: gramsPerLitre(content?.lessWater),
  lessWaterAndExempt: gramsPerLitre(content?.lessWaterAndExempt),
});

const gramsPerLitre = (value: Rational | undefined): number | null => (value ? rounded(value.valueOf(), 1) : null);
const sentence = (text: string): string => text[0]!.toUpperCase() + text.slice(1);
