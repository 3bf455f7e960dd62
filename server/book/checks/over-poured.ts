import type { Edit, Finding, Fix } from '../../../grammar/finding.ts';
import { lineOf, type Span, value } from '../../../grammar/tree.ts';
import { decimal, placesOf, type Rational } from '../../exact/rational.ts';
import type { Book } from '../book.ts';
import type { EntryCell } from '../cell.ts';
import { type Cup, cupIn, isProblem, type TooMuch, tooMuchIn } from '../cup.ts';
import { shopOf } from '../known.ts';
import { type Rescue, rescuesIn, strayedText } from '../rescue.ts';
import { appended, type Check, finding, listed, quoted, removedLine } from './check.ts';

export const overPoured: Check = {
  pages: [
    {
      code: 'over-poured',
      title: 'Too much of a toner is in the cup',
      text: 'More than a step of the scale too much was poured. Ways out: leave it and say so (`accepted`), make more so that the ratios hold again (the smallest larger batch, said in `make`), make a little more so that the predicted difference stays within the tolerance, take some of the stirred cup out (`removed`) and finish, or start again. Each is offered as a fix with its new total. The ± of a predicted difference is that of two paints nearly alike, and of half a step of the scale. Ways that the cup has no room for come last; with hardener in it, ways for which the pot life leaves no time are not offered: fresh paint does not make it longer.',
    },
  ],
  in: ['batch'],
  acrossFiles: true,
  *find(book, cell) {
    const cup = cupIn(book, cell);
    if (isProblem(cup)) return;
    const over = tooMuchIn(book, cup).filter(({ line }) => line.word !== 'from');
    if (over.length === 0) return;
    const rescues = cup.batch.closed ? [] : rescuesIn(book, cup);
    const fixes = rescues.flatMap((rescue) =>
      rescue.late === undefined ? (fixFor(cell, cup, over, rescue) ?? []) : [],
    );
    const late = rescues.find((rescue) => rescue.late !== undefined)?.late;
    for (const one of over) yield told(book, cup, one, fixes, late);
  },
};

function told(
  book: Book,
  cup: Cup,
  { code, planned, poured, off, slight, line }: TooMuch,
  fixes: Fix[],
  late: string | undefined,
): Finding {
  const g = (grams: Rational) => `${decimal(grams, placesOf(cup.step))} g`;
  const share = planned.gt(0) ? `, ${decimal(off.mul(100).div(planned), 1)} % of its pour` : '';
  const accepts = decimal(shopOf(book).weighingError.mul(100), 0);
  const matters = slight ? ` That is within the ${accepts} % that the shop accepts of a pour.` : '';
  return finding(
    'over-poured',
    slight ? 'info' : 'warning',
    value(line, 'grams') ?? value(line, 'running') ?? line.wordSpan,
    `${g(poured)} of ${code} are in the cup; the sheet has ${g(planned)}: ${g(off)} too much${share}.${matters}`,
    cup.batch.closed
      ? "The batch is closed; write 'accepted' if it stays."
      : `${late === undefined ? '' : `Hardener is in the cup: ${late}. `}${fixes.map((fix) => fix.title).join('; ')}.`,
    { fixes },
  );
}

function fixFor(cell: EntryCell, cup: Cup, over: readonly TooMuch[], rescue: Rescue): Fix | undefined {
  const g = (grams: Rational) => `${decimal(grams, placesOf(cup.step))} g`;
  const what = listed(over.map(({ code, off }) => `${code} ${g(off)}`));
  const predicted =
    rescue.predicted === undefined
      ? ''
      : `, predicted ${strayedText({ dE00: rescue.predicted, plusMinus: rescue.plusMinus! })}`;
  const full = rescue.fits ? '' : ', more than the cup takes';
  const total = `${g(rescue.total)}${predicted}${full}`;
  const accepted = (): Edit[] =>
    over.map(({ code, off }) => appended(cell, `accepted ${code} ${quoted(`${g(off)} over, left as it is`)}`));
  const make = makeSpan(cell);
  const note = (text: string): Edit => appended(cell, `note ${quoted(text)}`);
  switch (rescue.kind) {
    case 'leave':
      return { title: `Leave it: ${total}`, edits: merged(accepted()) };
    case 'exact':
      return (
        make && {
          title: `Make ${g(rescue.total)}, so that the ratios hold${predicted}${full}`,
          edits: [
            { ...make, text: g(rescue.total) },
            note(`${what} over: made ${g(rescue.total)} instead of ${g(cup.target)}.`),
          ],
        }
      );
    case 'cheapest':
      return (
        make && {
          title: `Make ${total}, within tolerance`,
          edits: merged([{ ...make, text: g(rescue.total) }, ...accepted()]),
        }
      );
    case 'draw off':
      return {
        title: `Stir, take ${g(rescue.removed)} out and finish: ${total}`,
        edits: merged([
          appended(cell, `removed ${g(rescue.removed)}`),
          note(`${what} over: ${g(rescue.removed)} taken out of the stirred cup.`),
        ]),
      };
    case 'start again':
      return {
        title: `Start again: ${g(rescue.total)}, ${g(rescue.removed)} are lost${predicted}`,
        edits: [
          ...cup.content.pours.flatMap((pour) => (pour.kind === 'leftover' ? [] : [removedLine(cell, pour.line)])),
          note(`${what} over: ${g(rescue.removed)} thrown away, started again.`),
        ],
      };
  }
}

const makeSpan = (cell: EntryCell): Span | undefined => {
  const found = value(lineOf(cell.entry, 'make'), 'weight');
  return found && { from: found.from, to: found.to };
};

/** Several lines at the end of the entry are one edit. */
function merged(edits: Edit[]): Edit[] {
  const done: Edit[] = [];
  for (const edit of edits) {
    const same = done.findIndex((one) => one.from === edit.from && one.to === edit.to);
    if (same < 0) done.push(edit);
    else done[same] = { ...done[same]!, text: done[same]!.text + edit.text };
  }
  return done;
}
