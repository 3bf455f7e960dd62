import { type Check, finding, headOf } from './check.ts';

export const tonerUnused: Check = {
  pages: [
    {
      code: 'toner-unused',
      title: 'A toner that nothing uses',
      text: 'No formula, undercoat, let-down, card or batch names this toner. It may stand on the shelf for nothing, or its code is written differently where it is meant.',
    },
  ],
  in: ['toner', 'letdown'],
  acrossFiles: true,
  *find(book, cell) {
    const { name, entry } = cell;
    if (!name) return;
    for (const user of book.usersOf(name)) if (user !== cell) return;
    yield finding(
      'toner-unused',
      'info',
      headOf(entry),
      `Nothing in the book uses this ${entry.kind === 'letdown' ? 'let-down' : 'toner'}.`,
      'Keep it for later, or take it out.',
    );
  },
};
