import { type Check, finding, headOf, relatedEntry } from './check.ts';

export const idTwice: Check = {
  pages: [
    {
      code: 'id-twice',
      title: 'An id is defined twice',
      text: 'Ids are unique for their kind: two toners, two readings or two formulas (variants are formulas, let-downs are toners) cannot share one. The first entry in the order of the files counts, whatever names the id means that one. Give the second entry another id, or take it out.',
    },
  ],
  in: 'every entry',
  acrossFiles: true,
  *find(book, cell) {
    const { name, entry } = cell;
    if (!name) return;
    const [first] = book.named(name);
    if (!first || first === cell) return;
    const [kind, id] = [name.slice(0, name.indexOf(':')), name.slice(name.indexOf(':') + 1)];
    yield finding(
      'id-twice',
      'error',
      headOf(entry),
      `There is already a ${kind} '${id}'; that one counts, this entry is never used.`,
      'Give this entry another id, or take it out.',
      { related: [relatedEntry(first, 'the entry that counts')] },
    );
  },
};
