/** One entry laid open: a reading with its colours and how well its takes repeat, a formula with its pours and how near its card comes. */

import type { Book } from '../book/book.ts';
import { cardsOf, currentCard } from '../book/cards.ts';
import type { EntryCell } from '../book/cell.ts';
import { type Angle, type Colours, coloursIn, labOf, takesOf } from '../book/colours.ts';
import { measuredIn, shopOf } from '../book/known.ts';
import { recipeIn } from '../book/recipe.ts';
import { difference } from '../colour/difference.ts';
import type { Lab } from '../colour/lab.ts';
import { repeatability } from '../colour/repeat.ts';
import type { Viewing } from '../colour/viewing.ts';
import { decimal, rational } from '../exact/rational.ts';
import { pairsOf } from './compare.ts';
import { mix, type PourRow, type UndercoatSheet, weightAsked } from './mix.ts';
import { rounded } from './number.ts';
import { Unanswerable } from './subject.ts';

export interface ShownColour {
  readonly geometry: string;
  readonly illuminant: string;
  readonly observer: string;
  readonly lab: Lab;
  /** measured: computed from a spectrum; stated: the file gives Lab only. */
  readonly from: 'spectrum' | 'lab';
}

export interface Repeat {
  readonly takes: number;
  /** Mean difference of the takes from their mean (ASTM E2214); of the angle where it is largest. */
  readonly mcdm: { readonly dE00: number; readonly dE76: number } | null;
  readonly largest: { readonly dE00: number; readonly dE76: number } | null;
  readonly outlier: { readonly geometry: string; readonly take: number } | null;
  readonly geometry: string | null;
}

export interface ReadingAnswer {
  readonly kind: 'reading' | 'sprayout' | 'drawdown';
  readonly id: string;
  readonly name: string;
  readonly taken: string | null;
  readonly instrument: string | null;
  readonly colours: readonly ShownColour[];
  readonly repeat: Repeat;
}

export interface FormulaAnswer {
  readonly kind: 'formula' | 'variant';
  readonly id: string;
  readonly name: string;
  readonly lineage: readonly string[];
  readonly status: string | null;
  readonly total: string;
  /** Target weight in grams that the grams are for; null where the formula names none. */
  readonly target: string | null;
  readonly as: string | null;
  readonly toners: readonly {
    readonly coat: string;
    readonly code: string;
    readonly parts: string;
    readonly share: number;
    readonly grams: string | null;
    readonly cumulative: string | null;
  }[];
  readonly undercoat: UndercoatSheet | { readonly undercoat: string; readonly grey: string } | null;
  readonly standard: string | null;
  /** The card that shows the formula as it is now. */
  readonly sprayout: string | null;
  readonly earlierCards: readonly string[];
  readonly difference: readonly {
    readonly geometry: string;
    readonly illuminant: string;
    readonly observer: string;
    readonly dE00: number;
    readonly standard: Lab;
    readonly sample: Lab;
  }[];
}

export type ShowAnswer = ReadingAnswer | FormulaAnswer;

export function show(book: Book, cell: EntryCell, viewings: readonly Viewing[] = shopOf(book).viewings): ShowAnswer {
  const { kind } = cell.entry;
  if (kind === 'reading' || kind === 'sprayout' || kind === 'drawdown') return showReading(book, cell, kind, viewings);
  if (kind === 'formula' || kind === 'variant') return showFormula(book, cell, kind, viewings);
  throw new Unanswerable(`There is nothing to compute for ${cell.name}. Name a reading, a card or a formula.`);
}

export function showReading(
  book: Book,
  cell: EntryCell,
  kind: ReadingAnswer['kind'],
  viewings: readonly Viewing[],
): ReadingAnswer {
  const measured = measuredIn(book, cell);
  const colours = coloursIn(book, cell);
  return {
    kind,
    id: measured.id,
    name: measured.name,
    taken: measured.taken ?? null,
    instrument: measured.instrument ?? null,
    colours: coloursUnder(colours, viewings),
    repeat: repeatOf(colours, shopOf(book).viewings[0]!),
  };
}

export function coloursUnder(colours: Colours, viewings: readonly Viewing[]): ShownColour[] {
  return colours.angles.flatMap((angle) =>
    viewings.flatMap((viewing) => {
      const lab = labOf(angle, viewing, colours.bandpass);
      return lab
        ? [
            {
              geometry: angle.geometry,
              ...viewing,
              lab: lab.map((value) => rounded(value)) as unknown as Lab,
              from: angle.spectrum ? ('spectrum' as const) : ('lab' as const),
            },
          ]
        : [];
    }),
  );
}

/** Repeatability of the angle whose takes scatter most; an outlying take at any angle is named. */
export function repeatOf(colours: Colours, viewing: Viewing): Repeat {
  const angles = colours.angles.flatMap((angle) => repeatAt(angle, viewing, colours.bandpass) ?? []);
  const takes = Math.max(0, ...colours.angles.map((angle) => takesOf(angle, viewing, colours.bandpass).length));
  const worst = angles.reduce<(typeof angles)[number] | undefined>(
    (a, b) => (a && a.mcdm.dE00 >= b.mcdm.dE00 ? a : b),
    undefined,
  );
  const out = angles.find((angle) => angle.outlier !== undefined);
  return {
    takes,
    mcdm: worst ? { dE00: rounded(worst.mcdm.dE00, 5), dE76: rounded(worst.mcdm.dE76, 5) } : null,
    largest: worst ? { dE00: rounded(worst.largest.dE00, 5), dE76: rounded(worst.largest.dE76, 5) } : null,
    outlier: out?.outlier === undefined ? null : { geometry: out.geometry, take: out.outlier },
    geometry: worst?.geometry ?? null,
  };
}

function repeatAt(angle: Angle, viewing: Viewing, bandpass: Colours['bandpass']) {
  const takes = takesOf(angle, viewing, bandpass);
  if (takes.length < 2) return undefined;
  const mean = labOf(angle, viewing, bandpass);
  const result = repeatability(
    takes.map((take) => take.lab),
    mean,
  );
  return {
    geometry: angle.geometry,
    ...result,
    outlier: result.outlier === undefined ? undefined : takes[result.outlier]!.take,
  };
}

export function showFormula(
  book: Book,
  cell: EntryCell,
  kind: 'formula' | 'variant',
  viewings: readonly Viewing[],
): FormulaAnswer {
  const recipe = recipeIn(book, cell);
  const sheet = poursAtTarget(book, cell);
  const card = currentCard(book, cell);
  const standard = recipe.standard && book.find('reading', recipe.standard.is);
  const flat = recipe.coats.flatMap((coat) => coat.toners.map((toner) => ({ coat: coat.name, ...toner })));
  const hundred = rational(100);
  return {
    kind,
    id: recipe.id,
    name: recipe.name,
    lineage: recipe.lineage,
    status: recipe.status?.is ?? null,
    total: decimal(recipe.total, 2),
    target: sheet?.weight ?? null,
    as: recipe.target?.is.as ?? null,
    toners: flat.map((toner, index) => ({
      coat: toner.coat,
      code: toner.code,
      parts: decimal(toner.parts, 2),
      share: recipe.total.compare(0) > 0 ? rounded(toner.parts.mul(hundred).div(recipe.total).valueOf()) : 0,
      grams: sheet?.pours[index]?.grams ?? null,
      cumulative: sheet?.pours[index]?.cumulative ?? null,
    })),
    undercoat:
      sheet?.undercoat ??
      (recipe.undercoat ? { undercoat: recipe.undercoat.is.id, grey: recipe.undercoat.is.grey?.text ?? '' } : null),
    standard: recipe.standard?.is ?? null,
    sprayout: card?.card.id ?? null,
    earlierCards: cardsOf(book, cell)
      .filter((one) => one.standing === 'earlier')
      .map((one) => one.card.id),
    difference: card && standard ? cardDifference(book, standard, card.cell, viewings) : [],
  };
}

function poursAtTarget(
  book: Book,
  cell: EntryCell,
): { weight: string; pours: readonly PourRow[]; undercoat: UndercoatSheet | null } | undefined {
  try {
    weightAsked(recipeIn(book, cell), undefined);
    return mix(book, cell);
  } catch (error) {
    if (error instanceof Unanswerable) return undefined;
    throw error;
  }
}

/** Differences of a card from the standard, the worst angle first. */
export function cardDifference(
  book: Book,
  standard: EntryCell,
  card: EntryCell,
  viewings: readonly Viewing[],
): FormulaAnswer['difference'] {
  return pairsOf(coloursIn(book, standard), coloursIn(book, card), viewings)
    .map(({ geometry, illuminant, observer, standard: a, sample: b }) => ({
      geometry,
      illuminant,
      observer,
      dE00: rounded(difference('dE00', a, b)),
      standard: a,
      sample: b,
    }))
    .sort((a, b) => b.dE00 - a.dE00);
}
