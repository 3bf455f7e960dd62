import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { parseEntry } from '../../grammar/parse.ts';
import { applied, formatEntry, formatText } from '../../grammar/printer.ts';
import type { Entry, Line } from '../../grammar/tree.ts';
import { entryText } from './generated.ts';

const formatted = (text: string): string => applied(text, formatText(text));
const slice = (text: string) => ({ text, side: 'none' as const });

/** What an entry means, without its places in the text. */
function meaning(text: string, entry: Entry) {
  const line = (one: Line) => ({
    word: one.word,
    values: one.values.map(({ place, type, text: written, unit, numbers }) =>
      type === 'numbers'
        ? { place, numbers: [...numbers!] }
        : { place, type, written: written.replace(/[ \t]+/g, type === 'grey' ? ' ' : '$&'), unit },
    ),
    words: one.words.map((word) => word.text),
    comment: one.comment && text.slice(one.comment.from, one.comment.to).trimEnd(),
  });
  return {
    kind: entry.kind,
    head: entry.head && line(entry.head),
    lines: entry.lines.map(line),
    comments: entry.comments.map((span) => text.slice(span.from, span.to).trim()),
    findings: entry.findings.map((finding) => finding.code),
  };
}

describe('formatting any entry of the table', () => {
  it('keeps what it means, every atom and comment, and is done after one run', () => {
    let clean = 0;
    fc.assert(
      fc.property(entryText, (text) => {
        const before = parseEntry(slice(text));
        const edits = formatEntry(slice(text));
        if (before.findings.some((finding) => finding.severity === 'error')) {
          expect(edits).toEqual([]);
          return;
        }
        clean++;
        const after = applied(text, edits);
        expect(meaning(after, parseEntry(slice(after)))).toEqual(meaning(text, before));
        expect(after.replace(/[ \t]+/g, '')).toBe(text.replace(/[ \t]+/g, ''));
        expect(after.split('\n').length).toBe(text.split('\n').length);
        expect(formatEntry(slice(after))).toEqual([]);
        for (const edit of edits) expect(text.slice(edit.from, edit.to)).toMatch(/^[ \t]*$/);
      }),
      { numRuns: 400 },
    );
    expect(clean).toBeGreaterThan(250);
  });
});

describe('the look', () => {
  it('begins places in column 15 and sets numbers under each other', () => {
    expect(
      formatted(`formula SAM-31   "Samphire Green"
 maker Marram # of the vehicle
 target   weight 250  g as poured
\ttoner GRN-2 41.20
    toner ALU-C 122.6
  toner BLK-1 1.25
  undercoat SEAL grey L*   51
`),
    ).toBe(`formula SAM-31 "Samphire Green"
  maker        Marram  # of the vehicle
  target weight 250 g as poured
  toner GRN-2   41.20
  toner ALU-C  122.6
  toner BLK-1    1.25
  undercoat    SEAL grey L* 51
`);
  });

  it('sets the lines of a variant, of a card and of a coat', () => {
    expect(
      formatted(`variant SAM-31/dark "Darker"
  toner BLK-1 +0.40
  toner ALU-C -11.10
  toner WHT-1 = 1.65
  without RED-3
sprayout SAM-31-card of SAM-31
  lab 45as15 take 1 61.92 -18.40 9.81
  lab 45as110 take 2 61.88 -8.36 109.77
formula PRL-7 "Oyster Pearl"
  coat ground
  coat mid coats 2
`),
    ).toBe(`variant SAM-31/dark "Darker"
  toner BLK-1   +0.40
  toner ALU-C  -11.10
  toner WHT-1  = 1.65
  without      RED-3
sprayout SAM-31-card of SAM-31
  lab 45as15   take 1 61.92 -18.40   9.81
  lab 45as110  take 2 61.88  -8.36 109.77
formula PRL-7 "Oyster Pearl"
  coat ground
  coat mid     coats 2
`);
  });

  it('an empty line ends a run of columns', () => {
    const text = `formula A "a"
  toner GRN-2  141.20

  toner BLK-1  1.25
`;
    expect(formatted(text)).toBe(text);
  });

  it('keeps the lines of a list and indents those that go on', () => {
    expect(
      formatted(`reading A "a"
 spectrum 45as45 400..700/100  0.1   0.2
\t0.3
          0.4   # end
`),
    ).toBe(`reading A "a"
  spectrum 45as45 400..700/100 0.1   0.2
    0.3
    0.4   # end
`);
  });

  it('keeps comments under each other when one has to move', () => {
    expect(
      formatted(`# at the margin
book "Shop"
 language 1     # one
  timezone "Europe/Dublin" # two
  scale 0.1 g    # three
  takes 3           # four
        # of the body
                 # hanging
`),
    ).toBe(`# at the margin
book "Shop"
  language     1  # one
  timezone     "Europe/Dublin"  # two
  scale        0.1 g  # three
  takes        3    # four
  # of the body
                 # hanging
`);
  });
});

describe('what formatting leaves alone', () => {
  it('an entry with an error, while the next one is formatted', () => {
    expect(formatted('toner A "a"\n density 1,04\n price\ntoner B "b"\n density 1.04 g/ml\n')).toBe(
      'toner A "a"\n density 1,04\n price\ntoner B "b"\n  density      1.04 g/ml\n',
    );
  });

  it('an entry in a conflict, and one that begins inside one', () => {
    const text = 'toner A "a"\n<<<<<<< ours\n density 1 g/ml\n=======\n density 2 g/ml\n>>>>>>> theirs\n';
    expect(formatText(text)).toEqual([]);
    const wide = '<<<<<<< ours\ntoner A "a"\n density 1 g/ml\n=======\ntoner B "b"\n density 2 g/ml\n>>>>>>> theirs\n';
    expect(formatText(wide)).toEqual([]);
  });

  it('line ends, a BOM, empty lines and a missing last line end', () => {
    expect(formatted('\ufeffbook "Shop"\r\n language 1\r\n\r\n\r\n scale 0.1 g')).toBe(
      '\ufeffbook "Shop"\r\n  language     1\r\n\r\n\r\n  scale        0.1 g',
    );
  });

  it('a line with an unusual blank', () => {
    expect(formatted('toner A "a"\n density\u00a01 g/ml\n system WB\n')).toBe(
      'toner A "a"\n density\u00a01 g/ml\n  system       WB\n',
    );
  });

  it('a book of a later language', () => {
    expect(formatText('book "Shop"\n language 2\n')).toEqual([]);
  });
});
