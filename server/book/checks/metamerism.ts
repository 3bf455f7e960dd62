import type { Finding } from '../../../grammar/finding.ts';
import { difference } from '../../colour/difference.ts';
import { directionPhrase } from '../../colour/direction.ts';
import { type Viewing, viewingText } from '../../colour/viewing.ts';
import type { Book } from '../book.ts';
import { currentCard } from '../cards.ts';
import type { EntryCell } from '../cell.ts';
import { type AnglePair, anglesInCommon, coloursIn } from '../colours.ts';
import { toleranceFor } from '../entries/shop.ts';
import { cardIn, shopOf } from '../known.ts';
import { recipeIn } from '../recipe.ts';
import { type Check, finding, headOf, relatedEntry } from './check.ts';

export const metamerism: Check = {
  pages: [
    {
      code: 'metamerism',
      title: 'A match that breaks when the light changes',
      text: 'The newest card of the formula holds its tolerances under the first illuminant of the book, and lies above one of them under another. The two are metameric: alike in the workshop’s daylight, apart under a street lamp or in a showroom. Other toners, nearer in their spectra to those of the standard, cure it; a little more or less of the same ones does not. `pourbook show CARD --against STANDARD` gives the special index of metamerism for every angle and light.',
    },
  ],
  in: ['sprayout'],
  acrossFiles: true,
  *find(book, cell) {
    const { formula: id } = cardIn(book, cell);
    const formula = id === undefined ? undefined : book.find('formula', id);
    const named = formula && recipeIn(book, formula).standard?.is;
    const standard = named === undefined ? undefined : book.find('reading', named);
    if (!formula || !standard || currentCard(book, formula)?.cell !== cell) return;
    yield* broken(book, cell, standard);
  },
};

interface Off extends AnglePair {
  readonly viewing: Viewing;
  readonly dE: number;
  readonly allowed: number;
}

const above = ({ dE, allowed }: Off): boolean => dE > allowed;

function* broken(book: Book, cell: EntryCell, standard: EntryCell): Generator<Finding> {
  const [main, ...others] = shopOf(book).viewings;
  const before = offUnder(book, cell, standard, main!);
  // What is off under the first light is off already, and told as that.
  if (before.length === 0 || before.some(above)) return;
  const [worst] = others
    .filter(({ illuminant }) => illuminant !== main!.illuminant)
    .flatMap((viewing) => offUnder(book, cell, standard, viewing))
    .filter(above)
    .sort((a, b) => b.dE / b.allowed - a.dE / a.allowed);
  if (!worst) return;
  const was = before.find(({ geometry }) => geometry === worst.geometry);
  yield finding(
    'metamerism',
    'warning',
    headOf(cell.entry),
    `This card holds under ${viewingText(main!)} and breaks under ${viewingText(worst.viewing)}: at ${worst.geometry} it is off by ${told(worst)}, ${directionPhrase(worst.standard, worst.sample)}, more than the ${worst.allowed} that the book allows${was ? ` (${told(was)} under ${viewingText(main!)})` : ''}.`,
    'Look at both under that light; toners whose spectra are nearer to those of the standard cure it.',
    { related: [relatedEntry(standard, 'the standard')] },
  );
}

function offUnder(book: Book, card: EntryCell, standard: EntryCell, viewing: Viewing): Off[] {
  return anglesInCommon(coloursIn(book, standard), coloursIn(book, card), viewing).map((pair) => ({
    ...pair,
    viewing,
    dE: difference('dE00', pair.standard, pair.sample),
    allowed: toleranceFor(shopOf(book), pair.geometry).limit,
  }));
}

/** One decimal, two where one would hide that the difference is above what is allowed. */
const told = (off: Off): string => {
  const short = off.dE.toFixed(1);
  return Number(short) > off.allowed === above(off) ? short : off.dE.toFixed(2);
};
