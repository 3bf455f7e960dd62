/** How far a paint that no card shows is expected to be off its standard. */
import { rounded } from '../answers/number.ts';
import { differsUnder, type Pair, pairsOf } from '../answers/pairs.ts';
import type { Book } from '../book/book.ts';
import { shopOf } from '../book/known.ts';
import { shiftPlusMinus } from '../book/optics/shift.ts';
import { difference } from '../colour/difference.ts';
import type { Lab } from '../colour/lab.ts';
import { matchedColours } from './shift.ts';
import { type FormulaState, type OffStandard, offOf } from './state.ts';

export interface ExpectedOff {
  readonly standard: string;
  /** The card of the earlier paint that was moved by the predicted shift; null for the prediction alone. */
  readonly from: string | null;
  /** Of what was predicted (90 %): the shift, else the colour. Null where it is not known. */
  readonly plusMinus: number | null;
  readonly worst: OffStandard;
  readonly differs: string;
  /** The worst against its own tolerance first, under the main light. */
  readonly angles: readonly OffStandard[];
}

/** Null for a paint with a card, without a standard, or of which nothing is predicted. */
export function expectedOff(book: Book, state: FormulaState, earlier: FormulaState | null): ExpectedOff | null {
  const { standard, standardColours, card } = state;
  if (card || !standard || !standardColours) return null;
  const { from, plusMinus, colours } = movedCard(book, earlier, state) ?? predictedAlone(book, state);
  const main = shopOf(book).viewings[0]!;
  const pairs = pairsOf(standardColours, standardColours, [main]).flatMap((pair): Pair[] => {
    const sample = colours.get(pair.geometry);
    return sample ? [{ ...pair, sample }] : [];
  });
  const angles = offOf(book, pairs);
  if (!angles[0]) return null;
  return { standard, from, plusMinus, worst: angles[0], differs: differsUnder(main, pairs), angles };
}

interface Colouring extends Pick<ExpectedOff, 'from' | 'plusMinus'> {
  readonly colours: ReadonlyMap<string, Lab>;
}

/** What the model gets wrong of both paints alike cancels, so this comes nearer than the prediction alone. */
function movedCard(book: Book, before: FormulaState | null, after: FormulaState): Colouring | undefined {
  if (!before?.card || !before.expected || !after.expected) return undefined;
  const main = shopOf(book).viewings[0]!;
  const read = pairsOf(before.card.colours, before.card.colours, [main]);
  const colours = new Map<string, Lab>();
  let largest = 0;
  for (const [was, is] of matchedColours(book, before.expected, after.expected)) {
    const card = read.find(({ geometry }) => geometry === is.geometry)?.sample;
    if (!card) continue;
    colours.set(is.geometry, [0, 1, 2].map((at) => card[at]! + is.lab[at]! - was.lab[at]!) as unknown as Lab);
    largest = Math.max(largest, difference('dE00', was.lab, is.lab));
  }
  if (colours.size === 0) return undefined;
  const plusMinus = shiftPlusMinus(before.expected.paint, after.expected.paint, main);
  return { from: before.card.id, plusMinus: plusMinus ? rounded(plusMinus(largest)) : null, colours };
}

function predictedAlone(book: Book, { expected }: FormulaState): Colouring {
  const main = shopOf(book).viewings[0]!;
  const under = (expected?.prediction.colours ?? []).filter(
    ({ viewing }) => viewing.illuminant === main.illuminant && viewing.observer === main.observer,
  );
  return {
    from: null,
    plusMinus: under.length === 0 ? null : rounded(Math.max(...under.map(({ plusMinus }) => plusMinus))),
    colours: new Map(under.map(({ geometry, lab }) => [geometry, lab])),
  };
}
