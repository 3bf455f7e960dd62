import { parentOf } from '../book.ts';
import { type Check, finding, headOf } from './check.ts';

export const formulaPath: Check = {
  pages: [
    {
      code: 'formula-path',
      title: 'A formula with the id of a variant',
      text: 'A stroke in an id stands between a parent and its variant. A formula of its own, with all its parts written out, should not look like a variant: write it as `variant` with plus and minus lines, or give it an id without a stroke.',
    },
  ],
  in: ['formula'],
  acrossFiles: false,
  *find(_book, cell) {
    const id = headOf(cell.entry);
    const text = cell.entry.head?.values.find((value) => value.place === 'id')?.text ?? '';
    const parent = parentOf(text);
    if (!parent) return;
    yield finding(
      'formula-path',
      'warning',
      id,
      `'${text}' reads as a variant of '${parent}', but this is a formula of its own and takes nothing over from it.`,
      'Give it an id without a stroke, or write it as a variant with plus and minus lines.',
    );
  },
};
