/** Whatever stands in a file, reading it ends, throws nothing, and one fault stays one fault. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { cut } from '../../grammar/cutter.ts';
import { parseEntry } from '../../grammar/parse.ts';
import { applied, formatText } from '../../grammar/printer.ts';
import type { Entry, Line } from '../../grammar/tree.ts';
import { rows } from '../../grammar/words.ts';
import { corpus, entriesOf } from './corpus.ts';
import { entryText } from './generated.ts';

function expectInside(entry: Entry, text: string): void {
  for (const finding of entry.findings) {
    expect(finding.from).toBeGreaterThanOrEqual(0);
    expect(finding.to).toBeGreaterThanOrEqual(finding.from);
    expect(finding.to).toBeLessThanOrEqual(text.length);
    for (const fix of finding.fixes ?? [])
      for (const edit of fix.edits) expect(edit.from >= 0 && edit.from <= edit.to && edit.to <= text.length).toBe(true);
    expect(`${finding.problem} ${finding.remedy}`).not.toMatch(/NaN|undefined|Infinity|\[object/);
  }
}

const inside = (text: string): number =>
  entriesOf(text).reduce((count, { entry, text: own }) => {
    expectInside(entry, own);
    return count + entry.findings.length;
  }, 0);

/** A line as it was read. */
const read = (line: Line): string =>
  JSON.stringify([line.word, line.values.map((value) => [value.place, value.text, value.unit]), line.whole]);

/** The lines of a text by where they begin. */
function linesAt(text: string): Map<number, Line> {
  const found = new Map<number, Line>();
  for (const { entry, start } of entriesOf(text))
    for (const line of [...(entry.head ? [entry.head] : []), ...entry.lines]) found.set(start + line.from, line);
  return found;
}

describe.each(corpus.filter(({ text }) => text !== ''))('$name', ({ text }) => {
  it('reads at every prefix, with all whole lines above the cut', () => {
    const whole = entriesOf(text);
    for (const { text: own, side, entry } of whole) {
      const slice = { side: side as 'none' };
      for (let end = 0; end <= own.length; end++) {
        const part = own.slice(0, end);
        const found = parseEntry({ ...slice, text: part });
        expectInside(found, part);
        const lineStart = part.lastIndexOf('\n') + 1;
        // A number that is just being typed goes on with the list above it.
        if (/^[ \t]+[+\-.,\d]/.test(part.slice(lineStart))) continue;
        const above = entry.lines.filter((line) => line.to < lineStart).map(read);
        if (entry.head && entry.head.to < lineStart)
          expect(found.lines.map(read).slice(0, above.length)).toEqual(above);
      }
    }
  });

  it('reads without any one atom: other lines stay, and at most two findings come', () => {
    const before = inside(text);
    const lines = linesAt(text);
    for (const [start, line] of lines) {
      const own = text.slice(start, start + line.to - line.from);
      for (const atom of own.matchAll(/"(?:[^"\\\n]|\\.)*"|[^ \t\r\n"]+/g)) {
        if (line.comment && atom.index >= line.comment.from - line.from) continue;
        const from = start + atom.index;
        const changed = text.slice(0, from) + text.slice(from + atom[0].length);
        const after = linesAt(changed);
        for (const [at, other] of lines) {
          if (at === start) continue;
          const moved = after.get(at > start ? at - atom[0].length : at);
          expect(moved?.word, `without ${atom[0]} of '${own}'`).toBe(other.word);
        }
        if (!text.includes('<<<<<<<'))
          expect(inside(changed) - before, `without ${atom[0]} of '${own}'`).toBeLessThanOrEqual(2);
      }
    }
  });

  it('formats in one run, and keeps all but blanks', () => {
    const once = applied(text, formatText(text));
    expect(once.replace(/[ \t]/g, '')).toBe(text.replace(/[ \t]/g, ''));
    expect(formatText(once)).toEqual([]);
  });
});

describe('anything', () => {
  const words = fc.constantFrom(
    ...rows.map((row) => row.word),
    'SAM-31',
    '1.25',
    '400..700/10',
    '45as15',
    '"x"',
    '"',
    '#',
    '=',
    '<=',
    'N5',
    'L*',
  );
  const marks = fc.constantFrom(
    '\n',
    '\r\n',
    '\r',
    ' ',
    '  ',
    '\t',
    '\u00a0',
    '\u2028',
    '\ufeff',
    '<<<<<<< a',
    '=======',
    '>>>>>>> b',
    '|||||||',
    '\\',
    '🎨',
    '\ud83c',
    '漆',
  );

  it('is read and formatted: rows of words and marks', () => {
    fc.assert(
      fc.property(fc.array(fc.oneof(words, marks), { maxLength: 60 }), (pieces) => {
        const text = pieces.join('');
        inside(text);
        expect(
          entriesOf(text)
            .map((one) => one.text)
            .join(''),
        ).toBe(text);
        const once = applied(text, formatText(text));
        expect(formatText(once)).toEqual([]);
      }),
      { numRuns: 1500 },
    );
  });

  it('is read and formatted: random characters', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary', maxLength: 200 }), (text) => {
        inside(text);
        formatText(text);
      }),
      { numRuns: 500 },
    );
  });

  it('of the table is read without a finding that is no repetition', () => {
    fc.assert(
      fc.property(entryText, (text) => {
        const codes = parseEntry({ text, side: 'none' }).findings.map((finding) => finding.code);
        // Ids and quantities are arbitrary here; shapes of lines are what is under test.
        expect(
          codes.filter((code) => /^(line-short|line-long|place-wrong|word-|indent|head|text-)/.test(code)),
        ).toEqual([]);
      }),
      { numRuns: 300 },
    );
  });
});

describe('the size of a line', () => {
  const million = 1_000_000;
  it.each([
    ['an atom', 'x'.repeat(million)],
    ['digits', '1'.repeat(million)],
    ['digits with a letter', `${'1'.repeat(million)}x`],
    ['points', '.'.repeat(million)],
    ['commas', '1,'.repeat(million / 2)],
    ['a path', 'a/'.repeat(million / 2)],
    ['marks of an id', 'a.'.repeat(million / 2)],
    ['combining marks', 'e\u0301'.repeat(million / 2)],
    ['quotes', '"'.repeat(million)],
    ['strokes', `"${'\\'.repeat(million)}`],
    ['escapes', `"${'\\"'.repeat(million / 2)}`],
    ['blanks', ' '.repeat(million)],
    ['blanks before an atom', `${' '.repeat(100_000)}x`],
    ['unusual blanks', '\u00a0'.repeat(100_000)],
    ['lone returns', '\r'.repeat(100_000)],
    ['hashes', '#'.repeat(million)],
    ['a range', `${'1'.repeat(million / 2)}..${'2'.repeat(million / 2)}`],
    ['atoms', 'x '.repeat(50_000)],
    ['numbers', '1 '.repeat(50_000)],
    ['numbers in a list', `400..700/10 ${'0.1 '.repeat(100_000)}`],
    ['numbers with slips in a list', `400..700/10 ${'0,1 '.repeat(20_000)}`],
  ])('%s', (_name, long) => {
    for (const text of [
      long,
      `formula A "a"\n  toner ${long}\n  maker ${long}\n`,
      `reading A "a"\n  spectrum 45as45 ${long}\n  note ${long}\n`,
      `toner ${long}`,
      `formula ${long} "a"\n  ${long}\n`,
    ]) {
      const started = performance.now();
      for (const slice of cut(text).slices) parseEntry(slice);
      formatText(text);
      // Far above what a linear reading needs on a slow machine, far below what a quadratic one takes.
      expect(performance.now() - started).toBeLessThan(8000);
    }
  });

  it('many lines and many places are formatted', () => {
    const toners = Array.from({ length: 130_000 }, (_, index) => ` toner T-${index} ${index % 300}`).join('\n');
    const text = `formula A "a"\n${toners}\nbook "b"\n illuminants${'  D65/10'.repeat(40_000)}\n`;
    const once = applied(text, formatText(text));
    expect(once.length).toBeGreaterThan(text.length);
    expect(formatText(once)).toEqual([]);
  });

  it('many lines without a head', () => {
    const text = '  x\n'.repeat(100_000);
    const started = performance.now();
    for (const slice of cut(text).slices) parseEntry(slice);
    expect(performance.now() - started).toBeLessThan(8000);
  });
});
