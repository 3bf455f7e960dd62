/** What two outlines share is known of both as if each stood alone. */
import fc from 'fast-check';
import { expect, it } from 'vitest';
import { Outline, type Part } from '../../../server/review/outline.ts';
import type { Source } from '../../../server/review/source.ts';

const source = (files: Readonly<Record<string, string>>): Source => ({
  label: '',
  files: new Map(Object.entries(files).map(([path, text]) => [path, { id: text, text }])),
  beside: new Map(),
});

const entry = fc.constantFrom(
  'formula A-1 "a"\n  toner BLK-1 1\n',
  'formula A-1 "a"\n  toner BLK-1 2\n',
  'formula A-2 "a"\n  undercoat formula A-1\n',
  'variant A-1/dark "d"\n',
  'sprayout S-1 of A-1\n  lab 45:0 1 2 3\n',
  'toner BLK-1 "b"\n  system WB\n',
  'book "Shop"\n  language 1\n',
  '# a remark\n',
  '<<<<<<< ours\nformula A-3 "a"\n=======\nformula A-4 "a"\n>>>>>>> theirs\n',
);
const file = fc.array(entry, { maxLength: 6 }).map((entries) => entries.join('\n'));
const book = fc.dictionary(fc.constantFrom('a.pour', 'b.pour', 'c.pour'), file, { maxKeys: 3 });

const texts = (parts: readonly Part[]) => parts.map(({ text }) => text).sort();

it('finds in a version beside another what it finds in it alone', () => {
  fc.assert(
    fc.property(book, book, (before, after) => {
      const alone = new Outline(source(after));
      const beside = new Outline(source(after), new Outline(source(before)));
      expect([...beside.files]).toEqual([...alone.files]);
      for (const id of ['A-1', 'A-2', 'A-1/dark', 'S-1', 'BLK-1', 'A-3', 'A-4']) {
        expect(texts(beside.withId(id))).toEqual(texts(alone.withId(id)));
        expect(texts(beside.of(id))).toEqual(texts(alone.of(id)));
        expect(texts(beside.over(id))).toEqual(texts(alone.over(id)));
        expect(texts(beside.mentioning(id))).toEqual(texts(alone.mentioning(id)));
      }
      for (const kind of ['toner', 'book', 'sprayout'])
        expect(texts(beside.ofKind(kind))).toEqual(texts(alone.ofKind(kind)));
    }),
    { numRuns: 1000 },
  );
});

it('tells of all entries which came and which went', () => {
  fc.assert(
    fc.property(book, book, (before, after) => {
      const old = new Outline(source(before));
      const now = new Outline(source(after), old);
      const stayed = texts([...old.parts()].filter((part) => !now.gone.includes(part)));
      expect(texts([...now.parts()])).toEqual([...stayed, ...texts(now.come)].sort());
    }),
    { numRuns: 1000 },
  );
});

it('takes files with more entries than a call may have arguments', () => {
  const many = (name: string) => Array.from({ length: 150_000 }, () => `formula ${name}\n`).join('');
  const old = new Outline(source({ 'a.pour': many('A'), 'gone.pour': many('C') }));
  const now = new Outline(source({ 'a.pour': many('B'), 'come.pour': many('D') }), old);
  expect([now.come.length, now.gone.length]).toEqual([300_000, 300_000]);
});
