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
    const own = useOf(book, cell);
    if (!own) return;
    const alike = [...book.withCode(own.code)].flatMap((other) => (other === cell ? [] : (useOf(book, other) ?? [])));
    const rivals = alike.filter((other) => rival(own, other)).map((other) => other.id);
    if (rivals.length === 0) return;
    const line = cell.entry.lines.find((one) => one.word === 'code');
    yield finding(
      'code-twice',
      'warning',
      line?.values[0] ?? headOf(cell.entry),
      `${own.maker} ${own.code}${yearsIn(own)} is also the colour of ${listed([...new Set(rivals)].sort())}.`,
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

/** What colour a formula is for, where its code is written; what a variant takes over is its formula's affair. */
function useOf(book: Book, cell: EntryCell): Use | undefined {
  return book
    .fact<Use | undefined>(
      'colour code',
      cell,
      () => computeUse(book, cell),
      () => undefined,
      (a, b) => JSON.stringify(a) === JSON.stringify(b),
    )
    .get();
}

function computeUse(book: Book, cell: EntryCell): Use | undefined {
  if (!formulaIn(book, cell).code) return undefined;
  const { maker, code, system, years, status, id, lineage } = recipeIn(book, cell);
  if (!maker || !code || status?.is === 'withdrawn') return undefined;
  const [, from, to] = /^(\d+)\.\.(\d*)$/.exec(years?.is ?? '') ?? [];
  return {
    maker: maker.is,
    code: code.is,
    system: system?.is ?? '',
    from: Number(from ?? 0),
    to: Number(to || EVER),
    id,
    root: lineage.at(-1)!.split('/')[0]!,
  };
}

const rival = (a: Use, b: Use): boolean =>
  a.root !== b.root &&
  a.maker.toLowerCase() === b.maker.toLowerCase() &&
  a.from <= b.to &&
  b.from <= a.to &&
  (a.system === b.system || a.system === '' || b.system === '');

const yearsIn = ({ from, to }: Use): string => (from === 0 ? '' : ` (${from} to ${to === EVER ? 'now' : to})`);
