/** What a reviewer must not overlook: a formula that fits only because what it is held against was moved, a sign-off that is out of date. */
import { pairsOf } from '../answers/pairs.ts';
import { type BookVerdict, verdictOf } from '../answers/verdict.ts';
import type { Book } from '../book/book.ts';
import { shopOf } from '../book/known.ts';
import type { ExpectationChange } from './expectations.ts';
import { goneText, type Missing, unmixable } from './missing.ts';
import type { FormulaState } from './state.ts';
import type { UndercoatMixed } from './undercoat.ts';
import { plusMinusText } from './verdict.ts';

export interface CallOut {
  readonly what:
    | 'names what is gone'
    | 'standard moved'
    | 'tolerance moved'
    | 'standard taken out'
    | 'expectation dropped'
    | 'expectation loosened'
    | 'expectation fails'
    | 'expectation left open'
    | 'undercoat mixed otherwise'
    | 'card rewritten'
    | 'approval is of the earlier paint'
    | 'approved without a card'
    | 'approved beyond the tolerance'
    | 'VOC above the limit';
  readonly text: string;
}

const fits = (verdict: BookVerdict | null): boolean => verdict?.word === 'holds edge to edge';

export interface Context {
  readonly alike: boolean;
  readonly expectations: readonly ExpectationChange[];
  readonly mixed: UndercoatMixed | null;
}

export function callOuts(
  old: Book,
  now: Book,
  before: FormulaState | null,
  after: FormulaState,
  { alike, expectations, mixed }: Context,
): CallOut[] {
  // That nobody knows what is in it says it all.
  if (after.recipe.missingParent !== undefined) return [];
  return [
    ...namesGone(before, after),
    ...(before ? movedToFit(old, now, before, after) : []),
    ...expectations.flatMap((one) => outOfExpectation(one, alike && unmixable(after.missing).length === 0) ?? []),
    ...(before ? standardTakenOut(before, after, expectations) : []),
    ...(mixed ? [mixedOtherwise(mixed, before, after)] : []),
    ...cardRewritten(before, after, alike),
    ...unfoundedApproval(before, after, alike),
    ...aboveLimit(before, after),
  ];
}

/** What it is sprayed on, held against and made ready by; what is poured for it decides its grade. */
function namesGone(before: FormulaState | null, { missing, undercoat }: FormulaState): CallOut[] {
  return missing.flatMap((gone): CallOut[] => {
    const known = before?.missing.some(({ what, id }) => what === gone.what && id === gone.id);
    const said = GONE[gone.what];
    if (known || !said) return [];
    return [{ what: 'names what is gone', text: said(gone.id, goneText(gone, before?.missing), undercoat?.id ?? '') }];
  });
}

const GONE: Partial<Record<Missing['what'], (id: string, gone: string, undercoat: string) => string>> = {
  'in undercoat': (id, gone, undercoat) => `Toner ${id}, which is poured for its undercoat ${undercoat}, ${gone}.`,
  'in system': (id, gone) => `${id}, which makes it ready to spray, ${gone}.`,
  undercoat: (id, gone) => `Its undercoat ${id} ${gone}: nothing tells what it is sprayed on.`,
  standard: (id, gone) => `Its standard ${id} ${gone}: nothing tells what it has to look like.`,
  system: (id, gone) => `Its system ${id} ${gone}: nothing tells how it is made ready to spray.`,
};

function outOfExpectation(one: ExpectationChange, alike: boolean): CallOut | undefined {
  const { text, was, before, after, told, byEarlier } = one;
  if (after === 'fails') {
    if (before === 'fails' && was === null) return undefined;
    const anyMore = before === 'holds' && was === null ? ' any more' : '';
    return { what: 'expectation fails', text: `"${text}" does not hold${anyMore}. It finds: ${told}.` };
  }
  if (after === null) {
    if (byEarlier?.is === 'fails')
      return {
        what: 'expectation dropped',
        text: `It no longer states "${text}", which ${before === 'fails' ? 'did not hold' : 'would not hold'}. It finds: ${byEarlier.told}.`,
      };
    if (before === 'fails' && byEarlier?.is === 'open')
      return { what: 'expectation dropped', text: `It no longer states "${text}", which did not hold.` };
    return undefined;
  }
  if (byEarlier?.is === 'fails')
    return {
      what: 'expectation loosened',
      text: `"${text}" holds only because it was loosened: by "${was}" it would not. It finds: ${byEarlier.told}.`,
    };
  return leftOpen(one, alike);
}

/** Without a card or prediction of another paint it waits for that; else what it was held against is gone. */
function leftOpen({ text, before, after, told, lacks }: ExpectationChange, alike: boolean): CallOut | undefined {
  if (after !== 'open' || (before !== 'holds' && before !== 'fails')) return undefined;
  if (lacks === 'prediction' || (lacks === 'card' && !alike)) return undefined;
  return {
    what: 'expectation left open',
    text: `"${text}" ${before === 'holds' ? 'held' : 'did not hold'} and can be held against nothing any more: ${told}.`,
  };
}

/** A card that was held against a standard, and now against nothing. */
function standardTakenOut(
  before: FormulaState,
  after: FormulaState,
  expectations: readonly ExpectationChange[],
): CallOut[] {
  if (!before.verdict || !before.standardColours || after.standardColours) return [];
  if (expectations.some((one) => one.after === 'open' && leftOpen(one, true))) return [];
  return [
    {
      what: 'standard taken out',
      text: `Nothing says any more what it has to look like: it was held against ${before.standard}. ${before.verdict.sentence}`,
    },
  ];
}

/** Would the card as it is fit what it was held against before? */
function movedToFit(old: Book, now: Book, before: FormulaState, after: FormulaState): CallOut[] {
  if (!after.card || !fits(after.verdict)) return [];
  const found: CallOut[] = [];
  if (!fits(verdictOf(old, after.pairs)))
    found.push({
      what: 'tolerance moved',
      text: 'It fits only because the tolerance was moved: by the earlier one it would not hold edge to edge.',
    });
  if (!before.standardColours) return found;
  const pairs = pairsOf(before.standardColours, after.card.colours, [shopOf(now).viewings[0]!]);
  if (pairs.length > 0 && !fits(verdictOf(now, pairs)))
    found.push({
      what: 'standard moved',
      text: `It fits only because the standard was moved: ${before.standard === after.standard ? `from ${before.standard} as it was` : `against ${before.standard}`} it would not hold edge to edge.`,
    });
  return found;
}

/** That it is the same grey is stated; only a card shows it. */
function mixedOtherwise(mixed: UndercoatMixed, before: FormulaState | null, after: FormulaState): CallOut {
  const { undercoat, shift, card, lightness, earlierCards } = mixed;
  const [worst] = shift?.angles ?? [];
  const sentences = [
    `Its undercoat ${undercoat} is mixed otherwise: ${mixed.before} before, ${mixed.after} now.`,
    card
      ? `Card ${card.id} shows it so: L* ${card.lightness.toFixed(1)}${lightness === null ? '' : `, where the grey that is named has ${lightness.toFixed(1)}`}.`
      : `That it is the same grey is stated, and no card shows it${earlierCards.length > 0 ? ` (${earlierCards.join(', ')} ${earlierCards.length === 1 ? 'is' : 'are'} of the earlier mixture)` : ''}.`,
    worst
      ? `The optics predict that the grey moves by ${worst.dE00.toFixed(1)}${plusMinusText(worst.plusMinus)} dE00 at ${worst.geometry}${worst.dE00 < 0.05 || worst.direction.startsWith('no clear') ? '' : `, ${worst.direction}`}.`
      : 'How far the grey moves cannot be predicted.',
    ...(after.card && after.card.id === before?.card?.id
      ? [`Card ${after.card.id} of the colour is over the earlier mixture.`]
      : []),
  ];
  return { what: 'undercoat mixed otherwise', text: sentences.join(' ') };
}

/** A card is a record of what was sprayed: one that says other parts now, so that it shows the new paint, was not sprayed anew. */
function cardRewritten(before: FormulaState | null, { card }: FormulaState, alike: boolean): CallOut[] {
  if (alike || !card || before?.card?.id !== card.id) return [];
  return [
    {
      what: 'card rewritten',
      text: `Card ${card.id} says other parts than before, so that it seems to show the paint as it is now: a card is a record of what was sprayed.`,
    },
  ];
}

/** An approval is of a paint that somebody saw: of the one as it is now, on a card that holds. */
function unfoundedApproval(before: FormulaState | null, after: FormulaState, alike: boolean): CallOut[] {
  const { status } = after;
  if (!status?.startsWith('approved')) return [];
  if (before && status === before.status) {
    if (!alike)
      return [{ what: 'approval is of the earlier paint', text: `'${status}' was said of the earlier paint.` }];
    if (!before.card || after.card) return [];
    return [
      {
        what: 'approved without a card',
        text: `It says '${status}', and card ${before.card.id} that showed the paint as it is was taken out or says other parts now.`,
      },
    ];
  }
  if (!after.card)
    return [{ what: 'approved without a card', text: `It says '${status}', and no card shows the paint as it is.` }];
  if (!after.verdict || fits(after.verdict)) return [];
  return [
    {
      what: 'approved beyond the tolerance',
      text: `It says '${status}', and card ${after.card.id} does not hold edge to edge. ${after.verdict.sentence}`,
    },
  ];
}

/** Told when it comes to be so; what was above before is no news of this change. */
function aboveLimit(before: FormulaState | null, { voc }: FormulaState): CallOut[] {
  if (voc?.within !== false || before?.voc?.within === false) return [];
  return [
    {
      what: 'VOC above the limit',
      text: `VOC ${voc.gramsPerLitre.toFixed(0)} g/l ${voc.as} is above the limit of ${voc.limit} g/l (${voc.of}).`,
    },
  ];
}
