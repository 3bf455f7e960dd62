import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { cut } from '../../../grammar/cutter.ts';
import { BookFile } from '../../../server/book/file.ts';
import { bookText, inserted } from './fragments.ts';
import { beforeLineEnd, positionAt } from './positions.ts';

const uri = 'file:///book/a.pour';

describe('a file under random edits', () => {
  const edit = fc.record({ from: fc.nat(), length: fc.nat({ max: 80 }), text: inserted() });

  it('has the text of the same edits on a string, cut as the whole is cut', () => {
    fc.assert(
      fc.property(bookText(), fc.array(edit, { maxLength: 8 }), (start, edits) => {
        const file = new BookFile(uri, start);
        let text = start;
        for (const { from, length, text: written } of edits) {
          const begin = beforeLineEnd(text, from % (text.length + 1));
          const end = beforeLineEnd(text, Math.min(text.length, begin + length));
          file.change({ range: { start: positionAt(text, begin), end: positionAt(text, end) }, text: written });
          text = text.slice(0, begin) + written + text.slice(end);
          expect(file.text).toBe(text);
          expect(file.cells.map((cell) => cell.slice)).toEqual(cut(text).slices);
          expect(file.lineCount).toBe(text.split('\n').length);
        }
      }),
      { numRuns: 600 },
    );
  });

  it('leads from every position to its place and back', () => {
    fc.assert(
      fc.property(bookText(), fc.nat(), (text, at) => {
        const offset = beforeLineEnd(text, at % (text.length + 1));
        const file = new BookFile(uri, text);
        const position = positionAt(text, offset);
        const { index, offset: inCell } = file.locate(position);
        if (file.cells.length === 0) return;
        expect(file.offsetOf(index) + inCell).toBe(offset);
        expect(file.positionOf(index, inCell)).toEqual(position);
      }),
      { numRuns: 500 },
    );
  });

  it('moves positions beyond the end of a line or of the file to that end', () => {
    const file = new BookFile(uri, 'toner A "🎨"\r\n  system WB\r\n');
    expect(file.locate({ line: 0, character: 400 })).toEqual({ index: 0, offset: 12 });
    expect(file.locate({ line: 40, character: 4 })).toEqual({ index: 0, offset: file.text.length });
    expect(file.positionOf(0, 9)).toEqual({ line: 0, character: 9 });
  });

  it('keeps the cells that an edit does not reach', () => {
    const file = new BookFile(uri, ['A', 'B', 'C', 'D', 'E'].map((id) => `toner ${id} "x"\n`).join(''));
    const before = [...file.cells];
    const splice = file.change({
      range: { start: { line: 2, character: 9 }, end: { line: 2, character: 10 } },
      text: 'y',
    });
    expect(file.cells).toEqual(before);
    expect(splice.added).toEqual([]);
    expect(splice.removed).toEqual([]);
  });

  it('replaces the whole text by the smallest change of entries', () => {
    const file = new BookFile(uri, 'toner A "x"\ntoner B "x"\ntoner C "x"\n');
    const [a, , c] = file.cells;
    file.change({ text: 'toner A "x"\ntoner C "x"\n' });
    expect(file.cells).toEqual([a, c]);
  });
});
