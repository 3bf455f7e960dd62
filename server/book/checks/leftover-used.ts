import type { Finding } from '../../../grammar/finding.ts';
import { lineOf, type Span, value } from '../../../grammar/tree.ts';
import { ceilToStep, decimal, placesOf } from '../../exact/rational.ts';
import { useLeftover } from '../../paint/leftover.ts';
import type { Book } from '../book.ts';
import type { EntryCell } from '../cell.ts';
import { compositionOf, cupIn, isProblem } from '../cup.ts';
import type { Batch } from '../entries/batch.ts';
import { batchIn, moment } from '../known.ts';
import { leftoverRefusal } from '../leftover.ts';
import { type Check, finding, listed } from './check.ts';

export const leftoverUsed: Check = {
  pages: [
    {
      code: 'leftover-refused',
      title: 'A leftover that cannot be used',
      text: 'Paint left from another batch may go into a cup when it is of the same system, has no hardener in it, is within the time that the system keeps (`keeps 30 days`), holds no toner that the formula does not, and is no more than was mixed.',
    },
    {
      code: 'leftover-much',
      title: 'The leftover needs a larger batch',
      text: 'The leftover brings more of a toner than the batch takes. The smallest batch that uses all of it is named; make that much, or put less of the leftover in.',
    },
  ],
  in: ['batch'],
  acrossFiles: true,
  *find(book, cell) {
    const batch = batchIn(book, cell);
    const at = value(lineOf(cell.entry, 'from'), 'batch');
    if (!batch.leftover || !at || batch.closed) return;
    const why = leftoverRefusal(book, {
      ...batch.leftover,
      formula: batch.formula,
      at: moment(book, batch.mixed?.when)?.at,
    });
    if (why) {
      yield finding('leftover-refused', 'error', at, why.problem, why.remedy);
      return;
    }
    yield* tooMuch(book, cell, batch, value(batch.leftover.line, 'grams') ?? at);
  },
};

function* tooMuch(book: Book, cell: EntryCell, { leftover, formula }: Batch, at: Span): Generator<Finding> {
  const cup = cupIn(book, cell);
  const composition = compositionOf(book, leftover!.batch);
  if (isProblem(cup) || !composition) return;
  const plan = useLeftover(cup.recipe, { composition, grams: leftover!.grams }, cup.target, cup.step);
  if ('foreign' in plan) {
    yield finding(
      'leftover-refused',
      'error',
      at,
      `${leftover!.batch} holds ${listed(plan.foreign)}, which ${formula} does not.`,
      'Use it for another formula.',
    );
    return;
  }
  if (plan.least.lte(cup.target)) return;
  const least = `${decimal(ceilToStep(plan.least, cup.step), placesOf(cup.step))} g`;
  const make = value(lineOf(cell.entry, 'make'), 'weight');
  yield finding(
    'leftover-much',
    'warning',
    at,
    `All of this leftover takes a batch of at least ${least}.`,
    `Make ${least}, or use less of it.`,
    make ? { fixes: [{ title: `Make ${least}`, edits: [{ from: make.from, to: make.to, text: least }] }] } : {},
  );
}
