/** What the editor says behind the lines of a batch: what the scale has to show next, then the pour, how far it is off, and whether it matters. */
import { type Line, value } from '../../grammar/tree.ts';
import type { Book } from '../book/book.ts';
import type { EntryCell } from '../book/cell.ts';
import { type Cup, type CupPour, cupIn, isProblem, nextIn, type TooMuch, tooMuchIn } from '../book/cup.ts';
import { toleranceFor } from '../book/entries/shop.ts';
import { shopOf } from '../book/known.ts';
import { type Rescue, rescuesIn, type Strayed, strayedText } from '../book/rescue.ts';
import { inSteps, type PouredRow, pouredRows, strayedNow } from './batch.ts';
import { benchDifference } from './number.ts';
import { plain } from './plain.ts';

export interface LineHint {
  readonly line: Line;
  readonly text: string;
  readonly tooltip: string;
}

interface Said {
  readonly text: string;
  readonly tooltip: string;
}

export function batchHints(book: Book, cell: EntryCell): readonly LineHint[] {
  if (cell.entry.kind !== 'batch') return [];
  return book
    .fact(
      'batch-hints',
      cell,
      () => hintsOf(book, cell),
      () => [] as LineHint[],
    )
    .get();
}

function hintsOf(book: Book, cell: EntryCell): LineHint[] {
  const cup = cupIn(book, cell);
  const make = cell.entry.lines.find((line) => line.row && line.word === 'make');
  if (isProblem(cup)) return make ? [{ line: make, text: cup.problem, tooltip: cup.problem }] : [];
  const hints = new Map(pourHints(book, cup));
  // Where the hand has just written is where the eye is: behind the last thing that happened to the cup.
  const at = cup.batch.steps.at(-1)?.line ?? make;
  if (at && !cup.batch.closed) hints.set(at, joined(nextHint(book, cup), hints.get(at)));
  return [...hints].map(([line, said]) => ({ line, ...said }));
}

const joined = (first: Said, second: Said | undefined): Said =>
  second ? { text: `${first.text}; ${second.text}`, tooltip: `${first.tooltip}\n\n${second.tooltip}` } : first;

/** The running figure first: that is what the eye looks for on the scale. */
function nextHint(book: Book, cup: Cup): Said {
  const g = inSteps(cup);
  const next = nextIn(cup);
  if (next)
    return {
      text: `next ${next.cumulative} g: ${next.grams} g of ${next.code}`,
      tooltip: `Pour ${next.grams} g of ${next.code}; the scale then shows ${next.cumulative} g of ${g(cup.target)} g.`,
    };
  const strayed = strayedNow(book, cup);
  const colour = strayed ? `, ${predictedText(strayed)} from the formula` : '';
  return {
    text: `all in: ${g(cup.content.inCup)} g${colour}`,
    tooltip: `Every toner of the formula is in the cup.${strayed ? ` ${PREDICTED}` : ''}`,
  };
}

const predictedText = (strayed: Strayed): string => `~${strayedText(strayed)} predicted`;

const PREDICTED =
  'Predicted, not measured: dE00 at the worst angle under the main light. The ± is of the difference of two paints, with what half a step of the scale does; it is not that of a card.';

function pourHints(book: Book, cup: Cup): [Line, Said][] {
  const over = new Map(tooMuchIn(book, cup).map((one) => [one.code, one]));
  const stays = over.size > 0 ? rescuesIn(book, cup).find((one) => one.kind === 'leave') : undefined;
  const exact = over.size > 0 ? rescuesIn(book, cup).find((one) => one.kind === 'exact') : undefined;
  return pouredRows(cup).flatMap((row, n): [Line, Said][] => {
    const pour = cup.content.pours[n]!;
    if (pour.kind === 'leftover') return [];
    // Of a toner poured twice only the last line can say whether it is too much.
    const one = row.off === null ? undefined : over.get(pour.code);
    return [[pour.line, one ? overHint(book, cup, row, pour, one, stays, exact) : pourHint(row, pour)]];
  });
}

/** What the line does not say itself: of a pour what the scale shows after it, of a running figure the pour. */
const figureOf = ({ grams, cumulative }: PouredRow, { line }: CupPour): string =>
  value(line, 'running') ? `${grams} g poured` : `→ ${cumulative} g`;

function pourHint(row: PouredRow, pour: CupPour): Said {
  const figure = figureOf(row, pour);
  const shows = `The scale then shows ${row.cumulative} g.`;
  if (row.off === null) return { text: figure, tooltip: shows };
  const off = Number(row.off);
  if (off === 0)
    return { text: `${figure}, as meant`, tooltip: `The sheet has ${row.planned} g of ${pour.code}. ${shows}` };
  const amount = `${row.off.replace('-', '')} g ${off < 0 ? 'short' : 'over'}`;
  return {
    text: `${figure}, ${amount}`,
    tooltip: `The sheet has ${row.planned} g of ${pour.code}; this is ${amount}: ${off < 0 ? 'still to be topped up' : 'a rounding, or accepted'}. ${shows}`,
  };
}

function overHint(
  book: Book,
  cup: Cup,
  row: PouredRow,
  pour: CupPour,
  one: TooMuch,
  stays: Rescue | undefined,
  exact: Rescue | undefined,
): Said {
  const g = inSteps(cup);
  const strayed =
    stays?.predicted === undefined ? undefined : { dE00: stays.predicted, plusMinus: stays.plusMinus ?? 0 };
  const matters = strayed
    ? `${predictedText(strayed)} if it stays, ${judged(book, strayed)}`
    : `${one.slight ? 'within' : 'more than'} the ${plain(shopOf(book).weighingError.mul(100))} % accepted`;
  const larger = exact ? ` ${g(exact.total)} g would hold the ratios.` : '';
  return {
    text: `${figureOf(row, pour)}, ${g(one.off)} g over: ${matters}`,
    tooltip: `The sheet has ${g(one.planned)} g of ${one.code}.${larger} The ways out are quick fixes on this line.${strayed ? ` ${PREDICTED}` : ''}`,
  };
}

/** A prediction says 'within' or 'beyond' only where its ± leaves no doubt. */
function judged(book: Book, { dE00, plusMinus }: Strayed): string {
  const { limit } = toleranceFor(shopOf(book), '');
  if (dE00 + plusMinus <= limit) return `within ${benchDifference(limit)}`;
  return dE00 - plusMinus > limit ? `beyond ${benchDifference(limit)}` : `near the limit of ${benchDifference(limit)}`;
}
