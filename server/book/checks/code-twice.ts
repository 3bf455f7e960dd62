import type { Book } from '../book.ts';
import type { EntryCell } from '../cell.ts';
import { formulaIn } from '../known.ts';
import { recipeIn } from '../recipe.ts';
import { type Check, finding, headOf, listed } from './check.ts';

export const codeTwice: Check = {
  pages: [
    {
      code: 'code-twice',
      title: 'One colour code has two formulas',
      text: 'Two formulas are for the same maker, code, system and years, and neither is a variant of the other: whoever looks the code up finds both and does not know which to mix. Make one a variant of the other, part their years, or withdraw one. Withdrawn formulas and variants of one formula are not held against each other.',
    },
  ],
  in: ['formula', 'variant'],
  acrossFiles: true,
  *find(book, cell) {
    const own = readUse(useOf(book, cell));
    if (!own) return;
    const rivals = (clashes(book).get(keyOf(own)) ?? []).map(readUse).filter((other) => other && rival(own, other));
    if (rivals.length === 0) return;
    const line = cell.entry.lines.find((one) => one.word === 'code');
    yield finding(
      'code-twice',
      'warning',
      line?.values[0] ?? headOf(cell.entry),
      `${own.maker} ${own.code}${yearsIn(own)} is also the colour of ${listed(rivals.map((other) => other!.id))}.`,
      'Make one of them a variant of the other, part their years, or withdraw one.',
    );
  },
};

interface Use {
  readonly maker: string;
  readonly code: string;
  readonly system: string;
  readonly from: number;
  readonly to: number;
  readonly id: string;
  readonly root: string;
}

const EVER = 9999;

/**
 * What colour a formula is for, as one text: a change of its toners leaves the text alone, so that nothing that hangs on the codes of the
 * whole book is looked at again.
 */
function useOf(book: Book, cell: EntryCell): string {
  return book
    .fact(
      'colour code',
      cell,
      () => computeUse(book, cell),
      () => '',
    )
    .get();
}

function computeUse(book: Book, cell: EntryCell): string {
  // Only where the code is written: what a variant takes over is its formula's affair.
  if (!formulaIn(book, cell).code) return '';
  const { maker, code, system, years, status, id, lineage } = recipeIn(book, cell);
  if (!maker || !code || status?.is === 'withdrawn') return '';
  const [, from, to] = /^(\d+)\.\.(\d*)$/.exec(years?.is ?? '') ?? [];
  const use: Use = {
    maker: maker.is,
    code: code.is,
    system: system?.is ?? '',
    from: Number(from ?? 0),
    to: Number(to || EVER),
    id,
    root: lineage.at(-1)!.split('/')[0]!,
  };
  return JSON.stringify(use);
}

const readUse = (text: string): Use | undefined => (text === '' ? undefined : (JSON.parse(text) as Use));
const keyOf = ({ maker, code }: Use): string => `${maker}\n${code}`.toLowerCase();

const rival = (a: Use, b: Use): boolean =>
  a.root !== b.root &&
  a.from <= b.to &&
  b.from <= a.to &&
  (a.system === b.system || a.system === '' || b.system === '');

const yearsIn = ({ from, to }: Use): string => (from === 0 ? '' : ` (${from} to ${to === EVER ? 'now' : to})`);

type Clashes = ReadonlyMap<string, readonly string[]>;

/** The uses that share maker and code with another; as a rule few. */
function clashes(book: Book): Clashes {
  return book
    .bookFact<Clashes>(
      'colour codes',
      () => collect(book),
      () => new Map(),
      (a, b) => JSON.stringify([...a]) === JSON.stringify([...b]),
    )
    .get();
}

function collect(book: Book): Clashes {
  const byCode = new Map<string, string[]>();
  for (const kind of ['formula', 'variant'] as const) {
    for (const cell of book.ofKind(kind)) {
      const text = useOf(book, cell);
      const use = readUse(text);
      if (!use) continue;
      const known = byCode.get(keyOf(use));
      if (known) known.push(text);
      else byCode.set(keyOf(use), [text]);
    }
  }
  return new Map(
    [...byCode]
      .filter(([, uses]) => uses.length > 1)
      .map(([key, uses]) => [key, uses.sort()] as const)
      .sort(([a], [b]) => (a < b ? -1 : 1)),
  );
}
