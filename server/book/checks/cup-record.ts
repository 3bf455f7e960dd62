import type { Finding } from '../../../grammar/finding.ts';
import { lineOf, value } from '../../../grammar/tree.ts';
import { decimal, placesOf, type Rational } from '../../exact/rational.ts';
import type { Book } from '../book.ts';
import type { EntryCell } from '../cell.ts';
import { type Content, contentIn, cupIn, isProblem, stepOf } from '../cup.ts';
import type { Batch } from '../entries/batch.ts';
import { batchIn, moment } from '../known.ts';
import { potLifeOf } from '../pot-life.ts';
import { type Check, finding } from './check.ts';

export const cupRecord: Check = {
  pages: [
    {
      code: 'batch-coat',
      title: 'A batch that cannot be followed',
      text: 'What should go into the cup is not known: the formula is missing or has no toners, it has several coats and the batch does not say which one it is for (`coat ground`), or the batch does not say how much is made.',
    },
    {
      code: 'toner-unstirred',
      title: 'A toner that was not stirred',
      text: 'A toner settles: what is poured from the top of an unstirred tin has less pigment or flake than the formula means, and what is left has more. The record says so; a card of this batch should not be trusted until it was read.',
    },
    {
      code: 'cup-lost',
      title: 'The cup weighs less than its pours',
      text: 'More is missing than the scale can explain: two readings of a running figure are each off by up to half a step, tared pours by as much each. Volatiles left an open cup. Put back what left as reducer, never as colour, and keep the lid on.',
    },
    {
      code: 'cup-gained',
      title: 'The cup weighs more than its pours',
      text: 'More is in the cup than was written down. Look for a pour that is missing in the record.',
    },
    {
      code: 'cup-full',
      title: 'More than the cup takes',
      text: 'By the densities of its toners the batch does not fit into the cup that it names. Take a larger cup before you pour, or make less.',
    },
    {
      code: 'batch-late',
      title: 'Closed after the pot life',
      text: 'The hardener was in longer than the system allows. The data sheet decides.',
    },
    {
      code: 'booth-warm',
      title: 'A warm booth shortens the pot life',
      text: 'A pot life is stated for a temperature (`potlife 4 h at 23 C`; 23 C where none is said). For every ten degrees that the booth is warmer about half of it is left. That is common practice, not a standard, so it is a warning only; cold is not taken to lengthen it. The data sheet decides.',
    },
  ],
  in: ['batch'],
  acrossFiles: true,
  *find(book, cell) {
    const batch = batchIn(book, cell);
    const content = contentIn(book, cell);
    yield* problem(book, cell);
    yield* unstirred(batch, content);
    yield* weighed(book, batch, content);
    yield* full(book, cell);
    yield* late(book, cell, batch, content);
  },
};

function* problem(book: Book, cell: EntryCell): Generator<Finding> {
  const cup = cupIn(book, cell);
  // A formula that is missing is told by the name itself.
  if (!isProblem(cup) || cup.problem.startsWith('There is no formula') || batchIn(book, cell).closed) return;
  const [said, remedy = 'Write it in the batch.'] = cup.problem.split(': ');
  yield finding(
    'batch-coat',
    'info',
    value(cell.entry.head, 'formula') ?? cell.entry.head!.wordSpan,
    said!.endsWith('.') ? said! : `${said}.`,
    remedy[0]!.toUpperCase() + remedy.slice(1),
  );
}

function* unstirred({ stirred }: Batch, { pours }: Content): Generator<Finding> {
  for (const [code, { yes, line }] of stirred) {
    if (yes) continue;
    const poured = pours.some((pour) => pour.code === code && pour.kind !== 'leftover');
    yield finding(
      'toner-unstirred',
      'warning',
      value(line, 'toner') ?? line.wordSpan,
      poured ? `${code} was poured without having been stirred.` : `${code} has not been stirred.`,
      poured ? 'Spray a card before this batch is used, and say so in a note.' : 'Stir it before it is weighed.',
    );
  }
}

function* weighed(book: Book, batch: Batch, { weighings }: Content): Generator<Finding> {
  const places = placesOf(stepOf(book, batch));
  const g = (grams: Rational) => `${decimal(grams, places)} g`;
  for (const { grams, expected, error, lost, evaporated, unexplained, putBack, line } of weighings) {
    const at = value(line, 'grams') ?? line.wordSpan;
    if (evaporated)
      yield finding(
        'cup-lost',
        'warning',
        at,
        `${g(expected)} were poured and ${g(grams)} are left: ${g(lost)} evaporated, more than the ${decimal(error, places + 1)} g that the scale may be off.`,
        `Put ${g(putBack)} of reducer back, and close the lid.`,
      );
    if (unexplained)
      yield finding(
        'cup-gained',
        'warning',
        at,
        `${g(expected)} were poured and ${g(grams)} are in the cup: ${g(lost.neg())} were not written down.`,
        'Write down the pour that is missing, or correct the figure.',
      );
  }
}

function* full(book: Book, cell: EntryCell): Generator<Finding> {
  const cup = cupIn(book, cell);
  const line = lineOf(cell.entry, 'cup');
  if (isProblem(cup) || !line || !cup.most) return;
  const mass = cup.target.gt(cup.content.inCup) ? cup.target : cup.content.inCup;
  if (mass.lte(cup.most)) return;
  const g = (grams: Rational) => `${decimal(grams, placesOf(cup.step))} g`;
  yield finding(
    'cup-full',
    'warning',
    value(line, 'cup') ?? line.wordSpan,
    `${g(mass)} do not fit: the cup takes ${g(cup.most)} of this paint.`,
    'Take a larger cup, or make less.',
  );
}

/** From the time mixed to the time closed, where a hardener is in the cup. */
function* late(book: Book, cell: EntryCell, batch: Batch, content: Content): Generator<Finding> {
  const life = potLifeOf(book, batch, content);
  if (life?.until === undefined) return;
  const line = lineOf(cell.entry, 'closed');
  const closed = moment(book, batch.closed?.when);
  const at = closed && !closed.dayOnly ? closed.at : undefined;
  const minutes = decimal(life.seconds.div(60), 0);
  if (line && at !== undefined && at > life.until) {
    const within = at - life.until + life.seconds.valueOf() * 1000;
    yield finding(
      'batch-late',
      'warning',
      value(line, 'when') ?? line.wordSpan,
      `The hardener was in for ${Math.round(within / 60_000)} min; the system allows ${minutes} min.`,
      'Throw away what is left, and look at what was sprayed last.',
    );
  } else if (life.warm && (at === undefined || at > life.warm.until)) {
    const booth = lineOf(cell.entry, 'booth')!;
    const left = Math.round((life.warm.until - life.until) / 60_000 + Number(minutes));
    yield finding(
      'booth-warm',
      'info',
      value(booth, 'temperature') ?? booth.wordSpan,
      `The pot life of ${minutes} min is stated at ${decimal(life.statedAt, 0)} C; in a booth at ${decimal(life.warm.booth, 0)} C count on about ${left} min.`,
      'Mix less at a time, and let the data sheet decide.',
    );
  }
}
