import { type Check, finding } from './check.ts';

/** A file that is no text at all would otherwise bury every other finding. */
const MOST_IN_ENTRY = 5;

export const encoding: Check = {
  pages: [
    {
      code: 'encoding',
      title: 'A character could not be read',
      text: 'Books are written in UTF-8. Where a byte is no UTF-8, a replacement character (U+FFFD) stands in its place and what was meant is lost to the reader; as a rule the file was saved in an old encoding such as Latin-1 or Windows-1252. Save the file again as UTF-8 from the program that wrote it, or write the character anew.',
    },
  ],
  in: 'every entry',
  acrossFiles: false,
  *find(_book, cell) {
    const { text } = cell.slice;
    const places = [...text.matchAll(/\ufffd+/g)];
    const untold = places.length - MOST_IN_ENTRY;
    for (const [index, { 0: lost, index: from }] of places.slice(0, MOST_IN_ENTRY).entries()) {
      const more =
        untold > 0 && index === MOST_IN_ENTRY - 1
          ? `, nor ${untold === 1 ? 'at one more place' : `at ${untold} more places`} of this entry`
          : '';
      yield finding(
        'encoding',
        'error',
        { from, to: from + lost.length },
        lost.length === 1
          ? `A character here is no UTF-8 and could not be read${more}.`
          : `Characters here are no UTF-8 and could not be read${more}.`,
        'Save the file as UTF-8, or write what was meant anew.',
      );
    }
  },
};
