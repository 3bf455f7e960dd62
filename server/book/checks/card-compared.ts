import type { Finding } from '../../../grammar/finding.ts';
import { comparability, type ReadingFacts, USUAL_LIMITS } from '../../colour/comparable.ts';
import { difference } from '../../colour/difference.ts';
import { directionPhrase } from '../../colour/direction.ts';
import type { Book } from '../book.ts';
import { cardsOf, currentCard } from '../cards.ts';
import type { EntryCell } from '../cell.ts';
import { type AnglePair, anglesInCommon, coloursIn } from '../colours.ts';
import { toleranceFor } from '../entries/shop.ts';
import { cardIn, measuredIn, shopOf } from '../known.ts';
import { recipeIn } from '../recipe.ts';
import { type Check, finding, headOf, listed, relatedEntry } from './check.ts';

export const cardCompared: Check = {
  pages: [
    {
      code: 'card-unlike',
      title: 'A card that was not read like its standard',
      text: 'A colour difference means something only between readings of like surfaces (cleared or not, polished or not, as warm as each other), at the same angles, with instruments of one build. Two instruments of different geometry can disagree by more than a painter’s tolerance on the very same panel. What is not stated is not held against the card.',
    },
    {
      code: 'difference-above',
      title: 'The card is further from its standard than the book allows',
      text: 'The newest card that shows the formula as it is now lies above the tolerance of the book at one angle or more, in CIEDE2000 under the main illuminant. The angle that is furthest beyond its own tolerance is named first, with the direction in which the card is off there. Tolerances are the shop’s own: no standard gives them.',
    },
  ],
  in: ['sprayout'],
  acrossFiles: true,
  *find(book, cell) {
    const { formula: id } = cardIn(book, cell);
    const formula = id === undefined ? undefined : book.find('formula', id);
    const standardId = formula && recipeIn(book, formula).standard?.is;
    const standard = standardId === undefined ? undefined : book.find('reading', standardId);
    if (!formula || !standard) return;
    const standing = cardsOf(book, formula).find((one) => one.cell === cell)?.standing;
    if (standing === 'earlier' || standing === 'step') return;
    yield* unlike(book, cell, standard);
    if (currentCard(book, formula)?.cell === cell) yield* above(book, cell, standard);
  },
};

function* unlike(book: Book, cell: EntryCell, standard: EntryCell): Generator<Finding> {
  const [a, b] = [factsOf(book, standard), factsOf(book, cell)];
  if (a.geometries.length === 0 || b.geometries.length === 0) return;
  // A card is always younger than the panel that it is held against: age is no reason here.
  const { reasons, common } = comparability(a, b, { ...USUAL_LIMITS, days: Number.POSITIVE_INFINITY });
  const told = reasons.map(({ kind, text }) =>
    kind === 'instrument'
      ? `the standard was read with ${a.instrumentModel}, the card with ${b.instrumentModel}`
      : text,
  );
  const unread = a.geometries.filter((geometry) => !common.includes(geometry));
  if (common.length > 0 && unread.length > 0)
    told.push(`${listed(unread)} of the standard ${unread.length > 1 ? 'were' : 'was'} not read on the card`);
  if (told.length === 0) return;
  yield finding(
    'card-unlike',
    'warning',
    headOf(cell.entry),
    `This card was not read like its standard ${measuredIn(book, standard).id}: ${told.join('; ')}.`,
    'Read both alike, or take their difference with caution.',
    { related: [relatedEntry(standard, 'the standard')] },
  );
}

function factsOf(book: Book, cell: EntryCell): ReadingFacts {
  const measured = measuredIn(book, cell);
  return {
    geometries: coloursIn(book, cell).angles.map((angle) => angle.geometry),
    surface: measured.surface,
    instrumentModel: measured.instrument,
  };
}

interface Off extends AnglePair {
  readonly dE: number;
  readonly allowed: number;
}

function* above(book: Book, cell: EntryCell, standard: EntryCell): Generator<Finding> {
  const off = differences(book, cell, standard).filter((one) => one.dE > one.allowed);
  const worst = off.reduce<Off | undefined>((a, b) => (a && a.dE / a.allowed >= b.dE / b.allowed ? a : b), undefined);
  if (!worst) return;
  const others = off.filter((one) => one !== worst);
  const also = others.length === 0 ? '' : `; also ${listed(others.map((one) => `${one.geometry} by ${told(one)}`))}`;
  yield finding(
    'difference-above',
    'warning',
    headOf(cell.entry),
    `At ${worst.geometry} this card is off by ${told(worst)}, ${directionPhrase(worst.standard, worst.sample)}, more than the ${worst.allowed} that the book allows${also}.`,
    'Correct the formula and spray another card, or approve it for blending only.',
    { related: [relatedEntry(standard, 'the standard')] },
  );
}

function differences(book: Book, cell: EntryCell, standard: EntryCell): Off[] {
  const shop = shopOf(book);
  const pairs = anglesInCommon(coloursIn(book, standard), coloursIn(book, cell), shop.viewings[0]!);
  return pairs.map((pair) => ({
    ...pair,
    dE: difference('dE00', pair.standard, pair.sample),
    allowed: toleranceFor(shop, pair.geometry).limit,
  }));
}

/** One decimal, two where one would make the difference equal to what is allowed. */
const told = ({ dE, allowed }: Off): string => (Number(dE.toFixed(1)) > allowed ? dE.toFixed(1) : dE.toFixed(2));
