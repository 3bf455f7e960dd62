import { namespaceOf } from '../../../grammar/words.ts';
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
    const others = book.spelledLike(name).flatMap((one) => (one === name ? [] : one.slice(space.length + 1)));
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
