/** A formula or variant laid open: its pours, and how near its card comes to the standard. */
import type { Book } from '../book/book.ts';
import { cardsOf, currentCard } from '../book/cards.ts';
import type { EntryCell } from '../book/cell.ts';
import { coloursIn } from '../book/colours.ts';
import { shopOf } from '../book/known.ts';
import { recipeIn } from '../book/recipe.ts';
import { difference } from '../colour/difference.ts';
import type { Lab } from '../colour/lab.ts';
import type { Viewing } from '../colour/viewing.ts';
import { decimal, rational } from '../exact/rational.ts';
import { type Against, againstOf } from './against.ts';
import { type Flop, flopOf } from './flop.ts';
import { likenessOf } from './likeness.ts';
import { measuredColours } from './measured.ts';
import { mix, type PourRow, type UndercoatSheet } from './mix.ts';
import { rounded } from './number.ts';
import { differsUnder, pairsOf } from './pairs.ts';
import { type PredictedAnswer, predictedAnswer } from './predicted.ts';
import type { Asked } from './show.ts';
import { type StepPanel, stepPanel } from './step-panel.ts';
import { Unanswerable } from './subject.ts';
import { type BookVerdict, verdictOf } from './verdict.ts';

export interface FormulaAnswer extends Flop, PredictedAnswer, Partial<Against> {
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
  readonly undercoat:
    | UndercoatSheet
    | { readonly undercoat: string; readonly grey: string; readonly coloured: boolean }
    | null;
  readonly standard: string | null;
  /** The card that shows the formula as it is now. */
  readonly sprayout: string | null;
  readonly earlierCards: readonly string[];
  /** Of that card from the standard, by the book's tolerances; null while there is nothing to judge. */
  readonly verdict: BookVerdict | null;
  /** How that card differs from the standard, in words; empty while there is nothing to compare. */
  readonly differs: string;
  readonly difference: readonly {
    readonly geometry: string;
    readonly illuminant: string;
    readonly observer: string;
    readonly dE00: number;
    readonly standard: Lab;
    readonly sample: Lab;
  }[];
  /** What makes the difference doubtful. */
  readonly notes: readonly string[];
  /** Of a colour with a mid coat: which number of mid coats comes nearest. */
  readonly stepPanel: StepPanel | null;
}

export function showFormula(
  book: Book,
  cell: EntryCell,
  kind: FormulaAnswer['kind'],
  { viewings = shopOf(book).viewings, against }: Asked,
): FormulaAnswer {
  const recipe = recipeIn(book, cell);
  return {
    kind,
    id: recipe.id,
    name: recipe.name,
    lineage: recipe.lineage,
    status: recipe.status?.is ?? null,
    ...poured(book, cell),
    standard: recipe.standard?.is ?? null,
    ...shownBy(book, cell, viewings),
    ...predictedAnswer(book, cell, viewings),
    stepPanel: stepPanel(book, cell),
    ...(against ? againstOf(book, measuredColours(book, cell), against, viewings) : {}),
  };
}

type Poured = Pick<FormulaAnswer, 'total' | 'target' | 'as' | 'toners' | 'undercoat'>;

function poured(book: Book, cell: EntryCell): Poured {
  const recipe = recipeIn(book, cell);
  const sheet = poursAtTarget(book, cell);
  const flat = recipe.coats.flatMap((coat) => coat.toners.map((toner) => ({ coat: coat.name, ...toner })));
  const hundred = rational(100);
  return {
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
      (recipe.undercoat
        ? {
            undercoat: recipe.undercoat.is.id,
            grey: recipe.undercoat.is.grey?.text ?? '',
            coloured: recipe.undercoat.is.coloured,
          }
        : null),
  };
}

function poursAtTarget(
  book: Book,
  cell: EntryCell,
): { weight: string; pours: readonly PourRow[]; undercoat: UndercoatSheet | null } | undefined {
  try {
    return mix(book, cell);
  } catch (error) {
    if (error instanceof Unanswerable) return undefined;
    throw error;
  }
}

type ShownBy = Pick<
  FormulaAnswer,
  'sprayout' | 'earlierCards' | 'verdict' | 'differs' | 'difference' | 'notes' | 'flopIndex' | 'flopReason'
>;

/** What the cards tell of the formula as it is now. */
function shownBy(book: Book, cell: EntryCell, viewings: readonly Viewing[]): ShownBy {
  const card = currentCard(book, cell);
  const named = recipeIn(book, cell).standard;
  const standard = named && book.find('reading', named.is);
  const main = shopOf(book).viewings[0]!;
  const earlierCards = cardsOf(book, cell)
    .filter((one) => one.standing === 'earlier')
    .map((one) => one.card.id);
  const flop = card
    ? flopOf(coloursIn(book, card.cell), main)
    : { flopIndex: null, flopReason: 'not sprayed yet: no card shows it as it is now' };
  if (!card || !standard)
    return {
      sprayout: card?.card.id ?? null,
      earlierCards,
      verdict: null,
      differs: '',
      difference: [],
      notes: [],
      ...flop,
    };
  const pairs = pairsOf(coloursIn(book, standard), coloursIn(book, card.cell), [main]);
  const { grave, remarks } = likenessOf(book, standard, card.cell);
  return {
    sprayout: card.card.id,
    earlierCards,
    verdict: verdictOf(book, pairs),
    differs: pairs.length > 0 ? differsUnder(main, pairs) : '',
    difference: cardDifference(book, standard, card.cell, viewings),
    notes: [...grave, ...remarks],
    ...flop,
  };
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
      standard: roundedLab(a),
      sample: roundedLab(b),
    }))
    .sort((a, b) => b.dE00 - a.dE00);
}

const roundedLab = ([L, a, b]: Lab): Lab => [rounded(L), rounded(a), rounded(b)];
