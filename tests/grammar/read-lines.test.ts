/** An entry that is read beside others is read as it is alone. */
import fc from 'fast-check';
import { expect, it } from 'vitest';
import { cut } from '../../grammar/cutter.ts';
import { parseEntry } from '../../grammar/parse.ts';
import { ReadLines } from '../../grammar/read-lines.ts';
import { entryText } from './generated.ts';

it('reads entries with the lines of others as it reads them alone', () => {
  fc.assert(
    fc.property(entryText, fc.nat(), fc.nat(), (text, from, other) => {
      const known = new ReadLines();
      const lines = text.split('\n');
      // The same entry, with a head of another length, a line doubled, a character lost.
      const longer = text.replace('"', '"longer ');
      const doubled = lines.toSpliced(1 + (from % lines.length), 0, lines[other % lines.length]!).join('\n');
      const torn = text.slice(0, from % text.length) + text.slice((from % text.length) + 1);
      for (const one of [text, longer, doubled, torn, text])
        for (const slice of cut(one).slices) expect(parseEntry(slice, known)).toEqual(parseEntry(slice));
    }),
    { numRuns: 400 },
  );
});
