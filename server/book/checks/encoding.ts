import { type Check, finding } from './check.ts';

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
    for (let at = text.indexOf('\ufffd'); at >= 0; ) {
      let to = at + 1;
      while (text[to] === '\ufffd') to++;
      yield finding(
        'encoding',
        'error',
        { from: at, to },
        to - at === 1
          ? 'A character here is no UTF-8 and could not be read.'
          : 'Characters here are no UTF-8 and could not be read.',
        'Save the file as UTF-8, or write what was meant anew.',
      );
      at = text.indexOf('\ufffd', to);
    }
  },
};
