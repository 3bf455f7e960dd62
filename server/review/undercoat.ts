/** What lies below a colour as it is mixed: the same grey by name may be another mixture now, and nothing but a card shows that it is the same grey. */
import { plain } from '../answers/mix.ts';
import { rounded } from '../answers/number.ts';
import { greyRecipe } from '../answers/undercoat.ts';
import type { Book } from '../book/book.ts';
import { coloursIn, labOf } from '../book/colours.ts';
import type { NamedUndercoat } from '../book/entries/formula.ts';
import { cardIn, shopOf } from '../book/known.ts';
import { greyLightness } from '../book/optics/greys.ts';
import { isPredicted, paintOf, predictionOf } from '../book/optics/predicted.ts';
import { type Recipe, recipeNamed, sameRatios } from '../book/recipe.ts';
import type { Rational } from '../exact/rational.ts';
import { hasFits } from './fits.ts';
import { predictedShift, type Shift } from './shift.ts';
import type { Expected, FormulaState } from './state.ts';

export interface PartBelow {
  readonly code: string;
  readonly parts: Rational;
}

/** Parts of a grey, or of the formula of a coloured undercoat; empty where nothing tells them. Many formulas go on one grey. */
export function partsBelow(book: Book, { id, coloured, grey }: NamedUndercoat): readonly PartBelow[] {
  if (coloured) return recipeNamed(book, id)?.coats.flatMap((coat) => coat.toners) ?? [];
  if (!grey) return [];
  const compute = (): readonly PartBelow[] => {
    const mixed = greyRecipe(book, id, grey);
    return typeof mixed === 'string' ? [] : mixed.toners;
  };
  return book.bookFact(`grey parts ${id} ${grey.text}`, compute, () => []).get();
}

export interface UndercoatMixed {
  /** `SEAL grey N5`. */
  readonly undercoat: string;
  readonly before: string;
  readonly after: string;
  /** Of the undercoat itself, as a film that hides; null where the optics do not know its toners. */
  readonly shift: Shift | null;
  /** A card of the mixture as it is now, and its L*; null where none shows it. */
  readonly card: { readonly id: string; readonly lightness: number } | null;
  /** L* of the grey as it is named. */
  readonly lightness: number | null;
  /** Cards of the mixture as it was. */
  readonly earlierCards: readonly string[];
}

/** Null where the undercoat is another by name, or mixed as before. */
export function undercoatMixed(book: Book, before: FormulaState, after: FormulaState): UndercoatMixed | null {
  const [was, is] = [before.undercoat, after.undercoat];
  if (!was || !is || is.coloured || was.id !== is.id || was.grey !== is.grey) return null;
  if (was.parts.length === 0 || is.parts.length === 0 || alike(was.parts, is.parts)) return null;
  const cards = cardsOf(book, is.parts);
  const lightness = greyLightness(after.recipe.undercoat?.is.grey);
  return {
    undercoat: `${is.id} grey ${is.grey}`,
    before: partsText(was.parts),
    after: partsText(is.parts),
    shift: hasFits(book)
      ? predictedShift(book, alone(book, after.recipe, was.parts), alone(book, after.recipe, is.parts))
      : null,
    card: cards[0] ?? null,
    lightness: lightness === undefined ? null : rounded(lightness, 1),
    earlierCards: cardsOf(book, was.parts).map(({ id }) => id),
  };
}

type Parts = readonly PartBelow[];

/** Many formulas go on one grey, and it is compared and written out for each of them. */
const compared = new WeakMap<Parts, { readonly other: Parts; readonly alike: boolean }>();
const texts = new WeakMap<Parts, string>();

function alike(was: Parts, is: Parts): boolean {
  let known = compared.get(was);
  if (known?.other !== is) {
    known = { other: is, alike: sameRatios(was, is) };
    compared.set(was, known);
  }
  return known.alike;
}

export function partsText(parts: Parts): string {
  let text = texts.get(parts);
  if (text === undefined) {
    text = parts.map(({ code, parts: amount }) => `${code} ${plain(amount)}`).join(', ');
    texts.set(parts, text);
  }
  return text;
}

/** The undercoat as a paint by itself; both by the toners and the optics of the new version. */
function alone(book: Book, recipe: Recipe, toners: readonly PartBelow[]): Expected | null {
  const coats = [{ name: 'top' as const, coats: undefined, toners: toners.map((one) => ({ ...one, origins: [] })) }];
  const grey: Recipe = { ...recipe, coats, undercoat: undefined, standard: undefined, missingParent: undefined };
  const [prediction, paint] = [predictionOf(book, grey), paintOf(book, grey)];
  return isPredicted(prediction) && !('none' in paint) ? { prediction, paint } : null;
}

/** Drawdowns of a mixture that tell a colour, by id. They are known where optics are recorded. */
function cardsOf(book: Book, parts: readonly PartBelow[]): { readonly id: string; readonly lightness: number }[] {
  const [first] = parts;
  if (!first || !hasFits(book)) return [];
  return [...book.usersOf(`toner:${first.code}`)]
    .filter(({ entry }) => entry.kind === 'drawdown')
    .flatMap((cell) => {
      const card = cardIn(book, cell);
      const [angle] = coloursIn(book, cell).angles;
      const lab = angle && labOf(angle, shopOf(book).viewings[0]!, card.bandpass);
      const alike = sameRatios(
        card.coats.flatMap((coat) => coat.toners),
        parts,
      );
      return alike && lab ? [{ id: card.id, lightness: rounded(lab[0], 1) }] : [];
    })
    .sort((a, b) => (a.id < b.id ? -1 : 1));
}
