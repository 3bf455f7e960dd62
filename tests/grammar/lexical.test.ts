/** The lexical rules of the language, one by one. The corpus shows the same at length. */
import { describe, expect, it } from 'vitest';
import { conflictsIn } from '../../grammar/conflict.ts';
import { cut } from '../../grammar/cutter.ts';
import { parseEntry } from '../../grammar/parse.ts';
import { applied, formatText } from '../../grammar/printer.ts';
import { idOf, lineOf, linesOf, number, text, value } from '../../grammar/tree.ts';

const read = (written: string) => parseEntry({ text: written, side: 'none' });
const codes = (written: string) =>
  cut(written).slices.flatMap((slice) => parseEntry(slice).findings.map((one) => one.code));
const heads = (written: string) => cut(written).slices.map((slice) => parseEntry(slice).head?.word);
/** The text after the first fix of its first finding. */
const fixed = (written: string): string => applied(written, read(written).findings[0]!.fixes![0]!.edits);

describe('1: line ends, blanks and marks', () => {
  it.each(['\n', '\r\n'])('a line end is %j', (end) => {
    const entry = read(`toner A "a"${end}  density 1 g/ml${end}`);
    expect(entry.findings).toEqual([]);
    expect(entry.lines[0]!.to).toBe(`toner A "a"${end}  density 1 g/ml`.length);
  });

  it.each(['\r', '\u0085', '\u2028', '\u2029', '\v', '\f'])('%j ends no line and is a finding', (odd) => {
    const written = `toner A "a"\n  density${odd}1 g/ml\n`;
    expect(codes(written)).toEqual(['odd-blank']);
    expect(text(lineOf(read(written), 'density'), 'density')).toBe('1');
    expect(codes(`toner A "a"\n  note "x${odd}y"\n`)).toEqual(['odd-blank']);
  });

  it('a lone return at the very end is seen too', () => expect(codes('toner A "a"\r')).toEqual(['odd-blank']));

  it.each(['\u00a0', '\u3000', '\u2009', '\u202f', '\u1680'])(
    'the blank %j has a fix, outside texts and comments',
    (odd) => {
      expect(fixed(`toner A "a"\n  density${odd}1 g/ml\n`)).toBe('toner A "a"\n  density 1 g/ml\n');
      expect(codes(`toner A "a${odd}b" # c${odd}d\n`)).toEqual([]);
    },
  );

  it('a BOM is allowed at offset 0 only', () => {
    expect(codes('\ufefftoner A "a"\n')).toEqual([]);
    expect(heads('\ufeff# c\ntoner A "a"\ntoner B "b"\n')).toEqual(['toner', 'toner']);
    expect(codes('toner A\ufeff "a"\n')).toEqual(['odd-blank']);
  });

  it('a tab is a blank', () => expect(codes('toner\tA\t"a"\n\tdensity\t1\tg/ml\n')).toEqual([]));
});

describe('2: what the first character says', () => {
  it('a letter begins an entry, in any script', () => {
    expect(heads('toner A "a"\nformula B "b"\n')).toEqual(['toner', 'formula']);
    expect(codes('漆 "a"\n')).toEqual(['word-unknown']);
  });

  it('comments at the margin go with the head directly below', () => {
    const { slices } = cut('toner A "a"\n\n# of B\ntoner B "b"\n# of C?\n\ntoner C "c"\n');
    expect(slices.map((slice) => slice.text)).toEqual([
      'toner A "a"\n\n',
      '# of B\ntoner B "b"\n# of C?\n\n',
      'toner C "c"\n',
    ]);
  });

  it('another character is a finding, and stays with the entry above', () => {
    expect(heads('toner A "a"\n* x\ntoner B "b"\n')).toEqual(['toner', 'toner']);
    expect(codes('toner A "a"\n* x\n')).toEqual(['line-start']);
  });

  it.each([
    ['toner BLK-1 1.25'],
    ['toner BLK-1 +0.4'],
    ['maker Marram'],
    ['undercoat SEAL grey N5'],
    ['system WB'],
    ['toner BLK-1 1.25 # "x"'],
  ])('%s at the margin has lost its indent: one finding', (line) => {
    const written = `formula F "f"\n  toner A 1\n${line}\n  finish solid\n`;
    expect(codes(written).filter((code) => code !== 'place-wrong')).toEqual(['indent-lost']);
    expect(applied(written, read(written).findings.at(-1)!.fixes![0]!.edits)).toContain(`\n  ${line}\n`);
  });

  it.each([['toner BLK-1 "Carbon black"'], ['toner BLK-1'], ['toner'], ['toner BLK-1 Carbon'], ['system WB "Base"']])(
    '%s begins an entry',
    (line) => expect(heads(`formula F "f"\n  toner A 1\n\n${line}\n`)).toHaveLength(2),
  );
});

describe('3: atoms, comments, texts', () => {
  it('a # inside an atom begins no comment', () => expect(text(read('toner A#1 "a"\n').head, 'id')).toBe('A#1'));
  it('a # behind a blank does', () => expect(read('toner A "a" # c\n').head!.comment).toEqual({ from: 12, to: 15 }));
  it('only \\" and \\\\ are escapes', () => {
    expect(text(lineOf(read('toner A "a"\n  note "\\"x\\" \\\\"\n'), 'note'), 'text')).toBe('"x" \\');
    expect(fixed('toner A "a\\n"\n')).toBe('toner A "a\\\\n"\n');
  });
  it('a text ends on its line', () => expect(fixed('toner A "a  # c\n')).toBe('toner A "a  # c"\n'));
  it('a text stands apart', () => {
    expect(fixed('toner A"a"\n')).toBe('toner A "a"\n');
    expect(codes('reading R "r"\n  file "a"sample "b"\n')).toEqual(['text-glued']);
  });
});

describe('4: the place decides', () => {
  it.each(['2026-10-14-A', '12345', 'GRN-2', 'grey', 'N5', '45as15', 'g', '250g', '漆-7', 'a.b'])(
    '%s is an id',
    (id) => {
      expect(codes(`toner ${id} "a"\n`)).toEqual([]);
      expect(text(lineOf(read(`formula F "f"\n  toner ${id} 1\n`), 'toner'), 'toner')).toBe(id);
    },
  );
  it.each(['41.20', 'a..b', '-A', '+A', '.a', 'a!', 'a//b'])('%s is none', (id) => {
    expect(codes(`formula F "f"\n  toner ${id} 1\n`)).toContain('id-shape');
  });
  it('ids are compared in NFC', () => expect(idOf(read('toner e\u0301 "a"\n'))).toBe('\u00e9'));
  it('a stroke is a path, of a variant', () => {
    expect(codes('variant A/b/c "x"\n')).toEqual([]);
    expect(codes('formula A/b "x"\n')).toEqual(['id-path']);
    expect(codes('toner A/b "x"\n')).toEqual(['id-path']);
    expect(codes('variant A "x"\n')).toEqual(['variant-parent']);
    expect(codes('variant 漆 "x"\n')).toEqual(['variant-parent']);
    expect(codes('batch B of A/b\n')).toEqual([]);
  });
});

describe('5: numbers and quantities', () => {
  it.each([
    ['.5', '0.5'],
    ['5.', '5'],
    ['1e3', '1000'],
    ['1.5e-2', '0.015'],
    ['41,20', '41.20'],
    ['1 000', '1000'],
    ['12 345.6', '12345.6'],
  ])('%s is read as %s, with a fix', (wrong, right) => {
    const written = `formula F "f"\n  toner A ${wrong}\n`;
    expect(text(lineOf(read(written), 'toner'), 'parts')).toBe(right);
    expect(read(written).findings).toHaveLength(1);
    expect(fixed(written)).toBe(`formula F "f"\n  toner A ${right}\n`);
  });
  it('a typeset minus', () => {
    expect(fixed('variant F/a "f"\n  toner A \u22120.4\n')).toBe('variant F/a "f"\n  toner A -0.4\n');
  });
  it('a sign only where it has a meaning', () => {
    expect(codes('formula F "f"\n  toner A -1\n')).toEqual(['number-signed']);
    expect(codes('reading R "r"\n  lab 45as15 1 -2 +3\n  surface cleared -3 C\n')).toEqual([]);
  });
  it('a delta says which way', () => expect(codes('variant F/a "f"\n  toner A 0.4\n')).toEqual(['delta-bare']));
  it('250g is read, with a fix', () => {
    const written = 'formula F "f"\n  target weight 250g\n';
    expect(value(lineOf(read(written), 'target'), 'weight')).toMatchObject({ text: '250', unit: 'g' });
    expect(fixed(written)).toBe('formula F "f"\n  target weight 250 g\n');
  });
  it('+5% is read, with a fix', () => {
    const written = 'variant F/a "f"\n  toner A +5%\n';
    expect(text(lineOf(read(written), 'toner'), 'percent')).toBe('%');
    expect(fixed(written)).toBe('variant F/a "f"\n  toner A +5 %\n');
  });
  it('units are case-sensitive, but for the litre', () => {
    expect(codes('formula F "f"\n  target weight 1 G\n')).toEqual(['unit-unknown']);
    expect(codes('formula F "f"\n  target volume 1 L\n')).toEqual([]);
  });
  it('a bare oz is refused, both meanings offered', () => {
    const [finding] = read('formula F "f"\n  target weight 8 oz\n').findings;
    expect(finding!.remedy).toMatch(/oz-av.*floz-US/);
  });
  it('no number is ever infinite or none', () => {
    for (const wrong of ['1e999', '1e-999', '9'.repeat(400)])
      expect(Number.isNaN(number(lineOf(read(`formula F "f"\n  toner A ${wrong}\n`), 'toner'), 'parts'))).toBe(false);
  });
});

describe('6: ranges, geometries, viewing conditions', () => {
  it.each(['45as15', '45as-15', '45/0', 'd/8'])('%s is a geometry', (geometry) =>
    expect(codes(`reading R "r"\n  lab ${geometry} 1 2 3\n`)).toEqual([]),
  );
  it('blanks part a range', () => expect(codes('formula F "f"\n  years 2019 ..2023\n')).toHaveLength(1));
  it('illuminant and observer are one atom', () =>
    expect(text(lineOf(read('reading R "r"\n  lab 45as15 D65/10 1 2 3\n'), 'lab'), 'viewing')).toBe('D65/10'));
});

describe('7: lists', () => {
  const spectrum = (list: string) => `reading R "r"\n  spectrum 45as45 400..700/100 ${list}\n  note "x"\n`;
  it('are one value, over lines that begin with a number', () => {
    const entry = read(spectrum('0.1\n    0.2 # two\n\t0.3 0.4'));
    expect(entry.findings).toEqual([]);
    expect([...value(lineOf(entry, 'spectrum'), 'values')!.numbers!]).toEqual([0.1, 0.2, 0.3, 0.4]);
    expect(entry.lines).toHaveLength(2);
  });
  it('have as many numbers as their range says', () => {
    expect(codes(spectrum('0.1 0.2 0.3'))).toEqual(['list-count']);
    expect(codes(spectrum('0.1 0.2 0.3 0.4 0.5'))).toEqual(['list-count']);
  });
  it('do not take a line whose word was lost', () => {
    const entry = read('reading R "r"\n  spectrum 45as45 400..700/100 1 2 3 4\n  45as15 400..700/100 1 2 3 4\n');
    expect(value(lineOf(entry, 'spectrum'), 'values')!.numbers).toHaveLength(4);
    expect(entry.findings.map((one) => one.code)).toEqual(['word-missing']);
  });
  it('decode as the language does', () => {
    const numbers = [
      '0.0311',
      '123456789.012345',
      '0.1',
      '-0.000001',
      '99999999999999999999.5',
      '1'.repeat(30),
      '+7',
      '0',
    ];
    const entry = read(`reading R "r"\n  spectrum 45as45 1..${numbers.length}/1 ${numbers.join(' ')}\n`);
    expect([...value(entry.lines[0], 'values')!.numbers!]).toEqual(numbers.map(Number));
  });
});

describe('8: what may stand twice', () => {
  it('single words not', () => expect(codes('formula F "f"\n  maker A\n  maker B\n')).toEqual(['line-twice']));
  it('keyed words once for each key, toners once in each coat', () => {
    expect(
      codes(
        'reading R "r"\n  lab 45as15 1 2 3\n  lab 45as25 1 2 3\n  lab 45as15 A/10 1 2 3\n  lab 45as15 take 2 1 2 3\n',
      ),
    ).toEqual([]);
    expect(codes('reading R "r"\n  lab 45as15 1 2 3\n  lab 45as15 1 2 4\n')).toEqual(['line-twice']);
    expect(codes('formula F "f"\n  coat ground\n  toner A 1\n  coat mid\n  toner A 1\n')).toEqual([]);
    expect(codes('formula F "f"\n  toner e\u0301 1\n  toner \u00e9 1\n')).toEqual(['line-twice']);
  });
  it('free words may', () => expect(codes('formula F "f"\n  note "a"\n  note "a"\n')).toEqual([]));
});

describe('9: conflicts', () => {
  it.each(['\n', '\r\n'])('are read on our side, the fixes take either (%j)', (end) => {
    const written = ['formula F "f"', '<<<<<<< a', '  toner A 1', '=======', '  toner A 2', '>>>>>>> b', ''].join(end);
    const entry = read(written);
    expect(linesOf(entry, 'toner').map((line) => text(line, 'parts'))).toEqual(['1']);
    expect(entry.findings.map((one) => one.code)).toEqual(['conflict']);
    const [ours, theirs] = entry.findings[0]!.fixes!.map((fix) => applied(written, fix.edits));
    expect(ours).toBe(`formula F "f"${end}  toner A 1${end}`);
    expect(theirs).toBe(`formula F "f"${end}  toner A 2${end}`);
    expect(formatText(written)).toEqual([]);
  });

  it('may reach over several entries: one finding, the whole file resolves', () => {
    const written = 'toner A "a"\n<<<<<<< a\ntoner B "b"\n=======\ntoner C "c"\ntoner D "d"\n>>>>>>> b\ntoner E "e"\n';
    expect(heads(written)).toEqual(['toner', 'toner', 'toner']);
    expect(codes(written)).toEqual(['conflict']);
    const [conflict] = conflictsIn(written);
    expect(applied(written, conflict!.ours)).toBe('toner A "a"\ntoner B "b"\ntoner E "e"\n');
    expect(applied(written, conflict!.theirs)).toBe('toner A "a"\ntoner C "c"\ntoner D "d"\ntoner E "e"\n');
  });
});

describe('10 to 13', () => {
  it('a variant’s status and notes are its own by the table', () => {
    const row = (word: string) => lineOf(read(`variant A/b "b"\n  ${word}\n`), word.split(' ')[0]!)!.row!.inherit;
    expect(row('maker Marram')).toBe(true);
    expect(row('finish solid')).toBe(true);
    expect(row('status trial')).toBe(false);
    expect(row('note "x"')).toBe(false);
    expect(row('expect coats <= 3')).toBe(false);
  });
  it('a later language stops formatting', () => expect(formatText('book "b"\n language 2\n')).toEqual([]));
  it.each([
    'sprayout worst <= 1.0 dE00',
    'predicted at 45as15 under A/10 < 2 dE00',
    'coats <= 3',
    'grey = N5',
    'voc <= 420 g/l',
    'share BLK-1 <= 2 %',
    'pour BLK-1 >= 1 g',
  ])('expect %s', (form) => expect(codes(`formula F "f"\n  expect ${form}\n`)).toEqual([]));
  it('an unknown form is refused', () =>
    expect(codes('formula F "f"\n  expect gloss > 90\n')).toEqual(['place-wrong']));
});
