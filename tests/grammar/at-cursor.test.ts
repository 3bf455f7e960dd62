import { describe, expect, it } from 'vitest';
import { placesAt, signatureAt } from '../../grammar/at-cursor.ts';
import type { Expected } from '../../grammar/expect.ts';
import { corpus, entriesOf } from './corpus.ts';

const name = (one: Expected): string =>
  one.is === 'word' ? one.text : one.is === 'value' ? `‹${one.place.name}›` : `‹${one.is} of ${one.place.name}›`;

/** What may stand at the `|`. */
function at(marked: string) {
  const offset = marked.indexOf('|');
  const text = marked.replace('|', '');
  const found = placesAt(text, offset);
  return (
    found && {
      words: found.words.map((row) => row.word),
      expected: found.expected.map(name),
      replaced: text.slice(found.replace.from, found.replace.to),
      mayEnd: found.mayEnd,
    }
  );
}

describe('at the start of a line', () => {
  it('heads at the margin', () => {
    expect(at('|')?.words).toContain('formula');
    expect(at('form|')).toMatchObject({ replaced: 'form', expected: [] });
    expect(at('form|')?.words).toContain('variant');
  });

  it('words of the entry below it, those that stand once only once', () => {
    const words = at('formula A "a"\n  maker Marram\n  |\n')!.words;
    expect(words).toContain('toner');
    expect(words).not.toContain('maker');
    expect(words).not.toContain('poured');
  });

  it('the word that is being typed or changed', () => {
    expect(at('formula A "a"\n  to|\n')).toMatchObject({ replaced: 'to' });
    expect(at('formula A "a"\n  ma|ker Marram\n')).toMatchObject({ replaced: 'maker' });
    expect(at('formula A "a"\n  ma|ker Marram\n')?.words).toContain('maker');
  });
});

describe('behind the word', () => {
  it.each([
    ['formula A "a"\n  toner |\n', ['‹toner›'], false],
    ['formula A "a"\n  toner BL|\n', ['‹toner›'], false],
    ['formula A "a"\n  toner BLK-1 |\n', ['‹parts›'], false],
    ['formula A "a"\n  toner BLK-1 1.25 |\n', [], true],
    ['formula A "a"\n  undercoat SEAL |\n', ['grey'], false],
    ['formula A "a"\n  undercoat SEAL grey |\n', ['‹grey›'], false],
    ['formula A "a"\n  undercoat SEAL grey L* |\n', ['‹lightness of grey›'], false],
    ['formula A "a"\n  target |\n', ['weight', 'volume', 'area'], false],
    ['formula A "a"\n  target weight 250 |\n', ['‹unit of weight›', 'as'], true],
    ['formula A "a"\n  target weight 250 g as |\n', ['poured', 'ready'], false],
    ['formula A "a"\n  status approved |\n', ['by', 'on'], true],
    ['formula A "a"\n  expect share BLK-1 |\n', ['at', 'worst', 'mean', 'under', '‹operator›'], false],
    ['variant A/b "b"\n  toner BLK-1 |\n', ['‹delta›', '='], false],
    ['variant A/b "b"\n  toner BLK-1 +5 |\n', ['‹percent›'], true],
    ['reading R "r"\n  lab 45as15 |\n', ['‹viewing›', 'take', '‹L›'], false],
    ['reading R "r"\n  taken 2026-10-14 with |\n', ['‹instrument›'], false],
    ['toner A "a"\n  kind op|\n', ['‹kind›'], false],
    ['letdown A "a" |\n', ['of'], false],
    ['sprayout A of |\n', ['‹formula›'], false],
    ['formula |\n', ['‹id›'], false],
  ])('%j', (marked, expected, mayEnd) => {
    expect(at(marked)).toMatchObject({ words: [], expected, mayEnd });
  });

  it('in the middle of a line, by what stands before', () => {
    expect(at('formula A "a"\n  toner |BLK-1 1.25\n')).toMatchObject({ expected: ['‹toner›'], replaced: 'BLK-1' });
    expect(at('formula A "a"\n  target weight 250 g as po|ured\n')).toMatchObject({ replaced: 'poured' });
  });

  it('inside a text, all of it', () => {
    expect(at('formula A "a"\n  note "st|ir"\n')).toMatchObject({ expected: ['‹text›'], replaced: '"stir"' });
    expect(at('formula A "a"\n  note "st|\n')).toMatchObject({ expected: ['‹text›'], replaced: '"st' });
  });

  it('nothing behind a place that does not fit, nor in a comment', () => {
    expect(at('formula A "a"\n  toner BLK-1 x |\n')?.expected).toEqual([]);
    expect(at('formula A "a"\n  toner BLK-1 1 # to|\n')).toBeUndefined();
    expect(at('formula A "a"\n  # to|\n')).toBeUndefined();
  });
});

describe('signatures', () => {
  it.each([
    ['formula A "a"\n  toner |\n', 'toner ‹toner› ‹parts›', '‹toner›'],
    ['formula A "a"\n  toner BLK-1 1.2|\n', 'toner ‹toner› ‹parts›', '‹parts›'],
    ['formula A "a"\n  toner BLK-1 1.2 |\n', 'toner ‹toner› ‹parts›', undefined],
    ['formula A "a"\n  status approved by |\n', 'status approved|trial|withdrawn [by ‹who›] [on ‹when›]', '‹who›'],
    ['reading R "r"\n  lab 45as15 61.92|\n', 'lab ‹geometry› [‹viewing›] [take ‹take›] ‹L› ‹a› ‹b›', '‹L›'],
    ['reading R "r"\n  lab 45as15 A/10|\n', 'lab ‹geometry› [‹viewing›] [take ‹take›] ‹L› ‹a› ‹b›', '‹viewing›'],
    ['undercoat S "s"\n  grey N5 toner A 1 |\n', 'grey ‹grey› toner ‹toner› ‹parts› …', 'toner'],
  ])('%j', (marked, label, active) => {
    const offset = marked.lastIndexOf('|');
    const text = marked.slice(0, offset) + marked.slice(offset + 1);
    const found = signatureAt(text, offset);
    const part = found?.parts[found.active];
    expect([found?.label, part && found.label.slice(part.from, part.to)]).toEqual([label, active]);
  });
});

describe('anywhere in the corpus', () => {
  it('answers without an exception, and replaces what is at the cursor', () => {
    for (const { text } of corpus) {
      for (const { text: own, entry } of entriesOf(text)) {
        for (let offset = 0; offset <= own.length; offset++) {
          const found = placesAt(own, offset, entry);
          signatureAt(own, offset, entry);
          if (!found) continue;
          expect(found.replace.from).toBeLessThanOrEqual(offset);
          expect(found.replace.to).toBeGreaterThanOrEqual(offset);
          expect(own.slice(found.replace.from, found.replace.to)).not.toContain('\n');
        }
      }
    }
  });
});
