import { describe, expect, it } from 'vitest';
import { highlights } from '../../grammar/highlight.ts';
import { parseEntry } from '../../grammar/parse.ts';
import { corpus, entriesOf } from './corpus.ts';

describe('highlights', () => {
  it('say what each atom is', () => {
    const text = `# above
formula SAM-31 "Samphire" # green
  target weight 250 g as poured
  undercoat SEAL grey N5
  toner BLK-1 1.25
  colour x
`;
    const found = highlights(text, parseEntry({ text, side: 'none' }));
    expect(found.map((one) => [text.slice(one.from, one.to), one.kind, ...(one.names ? [one.names] : [])])).toEqual([
      ['# above', 'comment'],
      ['formula', 'word'],
      ['SAM-31', 'definition', 'formula'],
      ['"Samphire"', 'text'],
      ['# green', 'comment'],
      ['target', 'word'],
      ['weight', 'literal'],
      ['250', 'number'],
      ['g', 'unit'],
      ['as', 'literal'],
      ['poured', 'literal'],
      ['undercoat', 'word'],
      ['SEAL', 'reference', 'undercoat'],
      ['grey', 'literal'],
      ['N5', 'literal'],
      ['toner', 'word'],
      ['BLK-1', 'reference', 'toner'],
      ['1.25', 'number'],
    ]);
  });

  it('never overlap, never pass a line end, in the whole corpus', () => {
    for (const { name, text } of corpus) {
      for (const { entry, text: own } of entriesOf(text)) {
        let end = 0;
        for (const one of highlights(own, entry)) {
          expect(one.from, name).toBeGreaterThanOrEqual(end);
          expect(own.slice(one.from, one.to), name).not.toMatch(/\n|^$/);
          end = one.to;
        }
      }
    }
  });
});
