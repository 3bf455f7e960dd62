import type { Finding } from '../../../grammar/finding.ts';
import { value } from '../../../grammar/tree.ts';
import type { Book } from '../book.ts';
import { parentOf } from '../book.ts';
import type { EntryCell } from '../cell.ts';
import type { Status } from '../entries/formula.ts';
import { batchIn, formulaIn, formulaNamed, moment } from '../known.ts';
import { type Check, finding, headOf } from './check.ts';

export const statusUse: Check = {
  pages: [
    {
      code: 'withdrawn-used',
      title: 'A withdrawn formula is in use',
      text: 'A formula whose status is withdrawn should not be mixed any more, nothing new should derive from it, and no colour should go on it as its undercoat. A batch that was mixed before the day on which the formula was withdrawn is let stand. Mix another formula or variant of the colour, or approve this one again.',
    },
    {
      code: 'trial-mixed',
      title: 'A formula on trial was mixed',
      text: 'A formula on trial has not been approved for the bench. Where a trial is what was wanted, say so in a note of the batch (any note with the word trial in it); otherwise mix an approved formula, or have this one approved.',
    },
  ],
  in: ['batch', 'formula', 'variant'],
  acrossFiles: true,
  *find(book, cell) {
    if (cell.entry.kind === 'batch') yield* mixed(book, cell);
    else {
      if (cell.entry.kind === 'variant') yield* derived(book, cell);
      yield* under(book, cell);
    }
  },
};

function* mixed(book: Book, cell: EntryCell): Generator<Finding> {
  const batch = batchIn(book, cell);
  const status = formulaNamed(book, batch.formula)?.status;
  const at = cell.entry.head?.values.find((value) => value.place === 'formula') ?? headOf(cell.entry);
  if (status?.is === 'withdrawn' && !before(book, batch.mixed?.when ?? batch.closed?.when, status)) {
    yield finding(
      'withdrawn-used',
      'warning',
      at,
      `${batch.formula} was withdrawn${when(status)} and should not be mixed.`,
      'Mix another formula or variant of this colour, or approve this one again.',
    );
  }
  if (status?.is === 'trial' && !saysTrial(cell)) {
    yield finding(
      'trial-mixed',
      'warning',
      at,
      `${batch.formula} is only on trial${when(status)}.`,
      'Mix an approved one, or write a note that the trial is meant: note "trial on the test panel"',
    );
  }
}

function* derived(book: Book, cell: EntryCell): Generator<Finding> {
  const { id, status } = formulaIn(book, cell);
  const parent = parentOf(id);
  const above = parent === undefined ? undefined : formulaNamed(book, parent)?.status;
  if (above?.is !== 'withdrawn' || status?.is === 'withdrawn') return;
  const at = headOf(cell.entry);
  yield finding(
    'withdrawn-used',
    'warning',
    at,
    `The parent of this variant, ${parent}, was withdrawn${when(above)}, but the variant was not.`,
    'Withdraw the variant, too, or write it out as a formula of its own.',
  );
}

/** A coloured undercoat is mixed as any other formula. */
function* under(book: Book, cell: EntryCell): Generator<Finding> {
  const { undercoat, status } = formulaIn(book, cell);
  if (!undercoat?.coloured || status?.is === 'withdrawn') return;
  const below = formulaNamed(book, undercoat.id)?.status;
  const at = value(undercoat.line, 'formula');
  if (below?.is !== 'withdrawn' || !at) return;
  yield finding(
    'withdrawn-used',
    'warning',
    at,
    `The undercoat ${undercoat.id} was withdrawn${when(below)} and should not be mixed.`,
    'Name another undercoat, or approve this one again.',
  );
}

const when = ({ by, on }: Status): string =>
  `${by === undefined ? '' : ` by ${by}`}${on === undefined ? '' : ` on ${on}`}`;

function before(book: Book, made: string | undefined, { on }: Status): boolean {
  const [then, from] = [moment(book, made), moment(book, on)];
  return then !== undefined && from !== undefined && then.at < from.at;
}

const saysTrial = (cell: EntryCell): boolean =>
  cell.entry.lines.some((line) => line.word === 'note' && line.values.some((value) => /\btrial\b/i.test(value.text)));
