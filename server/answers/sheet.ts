/** The pour sheet: the mix with what a person at the bench has to know beside it, and a label for the cup. */
import type { Book } from '../book/book.ts';
import { currentCard } from '../book/cards.ts';
import type { EntryCell } from '../book/cell.ts';
import { readingIn, shopOf, systemNamed, tonerNamed } from '../book/known.ts';
import { recipeIn } from '../book/recipe.ts';
import type { WeighingMode } from '../paint/scales.ts';
import { type MixAnswer, type MixAsked, mix } from './mix.ts';
import { type MixWarning, mixWarnings } from './mix-warnings.ts';
import { benchDifference } from './number.ts';
import { cardDifference } from './show-formula.ts';
import { undercoatsInOrder } from './undercoat-sheet.ts';

export interface SheetAnswer extends MixAnswer {
  /** To be known before the first pour. */
  readonly warnings: readonly MixWarning[];
  readonly shop: string;
  /** Of the book that the sheet was written from: a commit, 'unsaved changes', or that there is none. */
  readonly revision: string;
  /** tared: the scale is set to zero before every pour; running: it shows the sum. */
  readonly mode: WeighingMode;
  readonly maker: string | null;
  readonly code: string | null;
  readonly finish: string | null;
  readonly status: string | null;
  readonly system: { readonly id: string; readonly name: string } | null;
  /** The names of the toners by their codes. */
  readonly names: Readonly<Record<string, string>>;
  readonly standard: string | null;
  /** How the card that shows the formula as it is now differs from the standard, in a sentence. */
  readonly difference: string;
  /** Of the formula, its system and its toners. */
  readonly notes: readonly string[];
}

export interface SheetAsked extends MixAsked {
  readonly mode?: WeighingMode | undefined;
}

export const NO_REVISION = 'no revision';

export function sheet(book: Book, cell: EntryCell, asked: SheetAsked = {}, revision = NO_REVISION): SheetAnswer {
  const answer = mix(book, cell, asked);
  const recipe = recipeIn(book, cell);
  const system = recipe.system && systemNamed(book, recipe.system.is);
  const undercoats = undercoatsInOrder(answer.undercoat);
  const codes = [
    ...answer.pours.map((pour) => pour.toner),
    ...undercoats.flatMap(({ pours }) => pours.map((pour) => pour.toner)),
    ...[answer, ...undercoats].flatMap(({ readyToSpray }) => (readyToSpray?.lines ?? []).map((line) => line.code)),
  ];
  return {
    ...answer,
    warnings: mixWarnings(book, cell, answer, asked.mode ?? 'running'),
    shop: shopOf(book).name,
    revision,
    mode: asked.mode ?? 'running',
    maker: recipe.maker?.is ?? null,
    code: recipe.code?.is ?? null,
    finish: recipe.finish?.is ?? null,
    status: recipe.status?.is ?? null,
    system: system ? { id: system.id, name: system.name } : null,
    names: Object.fromEntries(codes.map((code) => [code, tonerNamed(book, code)?.name ?? ''])),
    standard: recipe.standard?.is ?? null,
    difference: differenceSentence(book, cell, recipe.standard?.is),
    notes: [...recipe.notes, ...(system?.notes ?? [])],
  };
}

function differenceSentence(book: Book, cell: EntryCell, standardId: string | undefined): string {
  const standard = standardId === undefined ? undefined : book.find('reading', standardId);
  if (!standard) return 'The formula names no standard.';
  const name = readingIn(book, standard).name;
  const card = currentCard(book, cell);
  const looks = `Standard ${standardId}${name ? `, ${name}` : ''}`;
  if (!card) return `${looks}. No card shows the formula as it is now: spray one before the vehicle.`;
  const [worst] = cardDifference(book, standard, card.cell, shopOf(book).viewings.slice(0, 1));
  if (!worst) return `${looks}. Card ${card.card.id} was not read at an angle of the standard.`;
  return `${looks}. Card ${card.card.id}, measured: at worst ${benchDifference(worst.dE00)} dE00, at ${worst.geometry} under ${worst.illuminant}/${worst.observer}.`;
}
