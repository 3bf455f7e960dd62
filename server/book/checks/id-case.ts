import { type Namespace, namespaceOf } from '../../../grammar/words.ts';
import type { Book } from '../book.ts';
import type { Name } from '../cell.ts';
import { type Check, finding, headOf, listed } from './check.ts';

export const idCase: Check = {
  pages: [
    {
      code: 'id-case',
      title: 'Two ids differ in capitals only',
      text: 'Capitals count in ids, so `GRN-2` and `grn-2` are two toners. Whoever reads a label at the bench cannot tell them apart. Rename one of them.',
    },
  ],
  in: 'every entry',
  acrossFiles: true,
  *find(book, cell) {
    const { name, entry } = cell;
    const space = entry.kind && namespaceOf(entry.kind);
    if (!name || !space) return;
    const alike = idsAlike(book, space).get(name.toLowerCase());
    const others = alike?.filter((one) => one !== name).map((one) => one.slice(space.length + 1)) ?? [];
    if (others.length === 0) return;
    yield finding(
      'id-case',
      'warning',
      headOf(entry),
      `This id and ${listed(others.map((id) => `'${id}'`))} differ in capitals only: two ${space}s that nobody can tell apart at the bench.`,
      'Rename one of them, or take out the one that was meant as the other.',
    );
  },
};

type Alike = ReadonlyMap<string, readonly Name[]>;

/** Names that are one when capitals do not count; as a rule none, so that a new entry makes no other entry be looked at again. */
function idsAlike(book: Book, space: Namespace): Alike {
  return book
    .bookFact<Alike>(
      `ids alike ${space}`,
      () => collect(book, space),
      () => new Map(),
      (a, b) => JSON.stringify([...a]) === JSON.stringify([...b]),
    )
    .get();
}

function collect(book: Book, space: Namespace): Alike {
  const byLetters = new Map<string, Set<Name>>();
  for (const id of book.ids(space)) {
    const name: Name = `${space}:${id}`;
    const key = name.toLowerCase();
    const known = byLetters.get(key);
    if (known) known.add(name);
    else byLetters.set(key, new Set([name]));
  }
  return new Map(
    [...byLetters]
      .filter(([, names]) => names.size > 1)
      .map(([key, names]) => [key, [...names].sort()] as const)
      .sort(([a], [b]) => (a < b ? -1 : 1)),
  );
}
