/** Laws of comparing two versions: layout is nothing, a renaming is one, and a part of the book tells the same as the whole. */
import fc from 'fast-check';
import { expect, it } from 'vitest';
import { applied, formatText } from '../../../grammar/printer.ts';
import { review } from '../../../server/review/review.ts';
import type { Source } from '../../../server/review/source.ts';
import { openVersions } from '../../../server/review/versions.ts';
import { editsOf, printed, type Shelf, shelf } from './edits.ts';

const source = (label: string, files: Readonly<Record<string, string>>): Source => ({
  label,
  files: new Map(Object.entries(files).map(([path, text]) => [path, { id: text, text }])),
  beside: new Map(),
});

const TONERS = ['BLK-1', 'WHT-1', 'GRN-2', 'ALU-C', 'RED-2', 'BND-0', 'YEL-3', 'BLU-5', 'NEW-7']
  .map((code) => `toner ${code} "${code}"\n  price 12 EUR/kg\n`)
  .join('\n');
const SHOP = 'book "Saltmarsh Coachworks"\n  scale 0.1 g\n';
const UNDERCOAT = 'undercoat SEAL "s"\n  grey N9 toner WHT-1 100\n  grey N2 toner BLK-1 100\n';
const whole = (one: Shelf) => ({ 'book.pour': SHOP, 'a.pour': `${TONERS}\n${UNDERCOAT}\n${printed(one)}` });

const reviewOf = async (before: Source, after: Source) => review(await openVersions(before, after));

it('a formatted, shuffled, re-filed copy, with other comments and line ends, differs in nothing', async () => {
  await fc.assert(
    fc.asyncProperty(
      shelf,
      fc.array(fc.nat(), { minLength: 20, maxLength: 20 }),
      fc.boolean(),
      async (one, order, windows) => {
        const before = whole(one);
        const entries = before['a.pour'].split('\n\n').map((entry) => entry.trimEnd());
        const files: Record<string, string> = { 'shop/book.pour': `# the shop\n${SHOP}` };
        for (const [index, entry] of entries.entries()) {
          const text = applied(entry, formatText(entry)).replaceAll('\n', ' # so\n');
          const name = `f${order[index]! % 3}.pour`;
          const other = files[name];
          files[name] = other && order[index]! % 2 ? `${text}\n\n${other}` : `${other ?? ''}${text}\n\n`;
        }
        const end = (text: string) => (windows ? text.replaceAll('\n', '\r\n') : text);
        const after = Object.fromEntries(Object.entries(files).map(([name, text]) => [name, end(text)]));
        const { formulas, entries: others } = await reviewOf(source('old', before), source('new', after));
        expect([formulas, others]).toEqual([[], []]);
      },
    ),
    { numRuns: 40 },
  );
});

it('tells every edit of a line, and nothing else', async () => {
  await fc.assert(
    fc.asyncProperty(shelf, fc.nat(), async (one, pick) => {
      const edits = editsOf(one, 7).filter(({ entry }) => entry !== 'DOOR');
      const edit = edits[pick % edits.length]!;
      const { formulas } = await reviewOf(source('old', whole(one)), source('new', whole(edit.make(one))));
      expect(formulas.map(({ id, was }) => [id, was])).toEqual([[edit.entry, 'changed']]);
      const [own] = formulas;
      const paint = edit.about.includes('toner ') || edit.about.includes('place ');
      expect(own!.grade === 'needs a spray-out').toBe(paint || edit.about.includes('undercoat'));
    }),
    { numRuns: 60 },
  );
});

it('a formula under a new name with one line changed is the same formula', async () => {
  await fc.assert(
    fc.asyncProperty(shelf, async (one) => {
      const renamed: Shelf = {
        ...one,
        formulas: one.formulas.map((f) => (f.id === 'SAM-31' ? { ...f, id: 'SEA-4', status: 'withdrawn' } : f)),
      };
      const text = printed(renamed).replace('"SEA-4"', '"SAM-31"');
      const after = { 'book.pour': SHOP, 'a.pour': `${TONERS}\n${UNDERCOAT}\n${text}` };
      const { formulas } = await reviewOf(source('old', whole(one)), source('new', after));
      expect(formulas.map(({ id, was, from }) => [id, was, from])).toEqual([['SEA-4', 'renamed', 'SAM-31']]);
    }),
    { numRuns: 30 },
  );
});

it('a toner under another code makes no other paint of its formulas, and no approval out of date', async () => {
  await fc.assert(
    fc.asyncProperty(shelf, async (one) => {
      const before = whole(one);
      const after = { ...before, 'a.pour': before['a.pour'].replace(/BLK-1(?!")/g, 'BLK-9') };
      const { formulas } = await reviewOf(source('old', before), source('new', after));
      expect(formulas.map(({ was, grade, callOuts }) => [was, grade, callOuts])).toEqual(
        formulas.map(() => ['reached', 'no change in colour', []]),
      );
      expect(formulas.flatMap(({ toners }) => toners.map(({ relative }) => relative)).every((by) => by === 0)).toBe(
        true,
      );
    }),
    { numRuns: 30 },
  );
});

it('tells of a part of the book what it tells of the whole', async () => {
  await fc.assert(
    fc.asyncProperty(shelf, fc.nat(), async (one, pick) => {
      const edits = editsOf(one, 7);
      const edit = edits[pick % edits.length]!;
      const [before, after] = [whole(one), whole(edit.make(one))];
      const part = await reviewOf(source('old', before), source('new', after));
      // An open conflict in a file makes it be read whole.
      const open = '\n<<<<<<< a\n=======\n>>>>>>> b\n';
      const all = await reviewOf(
        source('old', { ...before, 'a.pour': before['a.pour'] + open }),
        source('new', { ...after, 'a.pour': after['a.pour'] + open }),
      );
      expect(part).toEqual({ ...all, notes: all.notes.filter((note) => !note.startsWith('a merge conflict')) });
    }),
    { numRuns: 40 },
  );
});

it('a conflict that one version leaves open makes no entry of its file new', async () => {
  const one = fc.sample(shelf, 1)[0]!;
  const before = whole(one);
  const open = '\n<<<<<<< a\nformula NEW-1 "New"\n=======\n>>>>>>> b\n';
  const after = { ...before, 'a.pour': before['a.pour'] + open };
  const told = async (from: typeof before, to: typeof before) =>
    (await reviewOf(source('old', from), source('new', to))).formulas.map(({ id, was }) => [id, was]);
  expect(await told(before, after)).toEqual([['NEW-1', 'added']]);
  expect(await told(after, before)).toEqual([['NEW-1', 'removed']]);
  const { notes } = await reviewOf(source('old', before), source('new', after));
  expect(notes[0]).toMatch('a merge conflict is open in a.pour');
});
