/** A book that is edited against an earlier version: whatever was edited on the way, it tells what comparing both anew tells. */
import fc from 'fast-check';
import { expect, it } from 'vitest';
import { Book } from '../../../server/book/book.ts';
import { review } from '../../../server/review/review.ts';
import { Since } from '../../../server/review/since.ts';
import type { Version } from '../../../server/review/versions.ts';
import { editsOf, printed, shelf } from './edits.ts';

const URI = 'file:///a.pour';
const MORE = 'file:///more.pour';
const SHELF = ['BLK-1', 'WHT-1', 'GRN-2', 'ALU-C', 'RED-2', 'BND-0', 'YEL-3', 'BLU-5']
  .map((code) => `toner ${code} "${code}"\n  price 12 EUR/kg\n`)
  .join('\n');
const VARIANT = 'variant SAM-31/warm "Warm"\n  toner BLK-1 +1\n';

function bookOf(text: string): Book {
  const book = new Book();
  book.setFile('file:///book.pour', `book "Saltmarsh Coachworks"\n  scale 0.1 g\n\n${SHELF}`);
  book.setFile(URI, text);
  book.loaded.set(true);
  return book;
}

const version = (label: string, book: Book): Version => ({
  label,
  commit: null,
  book,
  beside: new Map(),
  placeOf: (cell) => ({ file: cell.file.uri, line: cell.file.lineOf(cell.file.indexOf(cell)) + 1 }),
});

const STEPS = fc.array(
  fc.record({
    pick: fc.nat(),
    how: fc.constantFrom(
      'line',
      'line',
      'line',
      'undo',
      'rename',
      'take out',
      'more',
      'less',
      'price',
      'earlier',
      'slip',
      'above',
    ),
  }),
  { minLength: 1, maxLength: 8 },
);

it('tells the same as from scratch after any edits', () => {
  fc.assert(
    fc.property(shelf, STEPS, (one, steps) => {
      const first = `${printed(one)}\n${VARIANT}`;
      let [before, after, price] = [first, first, 12];
      const [old, now] = [bookOf(before), bookOf(after)];
      const since = new Since(version('old', old), version('new', now));
      for (const { pick, how } of steps) {
        const edits = editsOf(one, (pick % 8) + 1);
        if (how === 'line') after = `${printed(edits[pick % edits.length]!.make(one))}\n${VARIANT}`;
        else if (how === 'undo') after = first;
        else if (how === 'rename') after = after.replace('formula GUL-2', 'formula GUL-9');
        else if (how === 'take out') after = after.slice(after.indexOf('formula', 9));
        else if (how === 'slip') after = after.replace('\n  toner', '\n  tonner BLK-1 1\n  toner');
        else if (how === 'above') after = `# above\n\n${after}`;
        else if (how === 'earlier') before = `${printed(edits[pick % edits.length]!.make(one))}\n${VARIANT}`;
        else if (how === 'more') now.setFile(MORE, 'formula MORE-1 "More"\n  toner BLK-1 1\n');
        else if (how === 'less') now.removeFile(MORE);
        else
          now.setFile(
            'file:///book.pour',
            now.files.get('file:///book.pour')!.text.replace(`price ${price}`, `price ${++price}`),
          );
        old.setFile(URI, before);
        now.setFile(URI, after);
        const anew = review({ before: version('old', old), after: version('new', now) });
        expect(since.all()).toEqual(anew);
        for (const cell of [...now.ofKind('formula'), ...now.ofKind('variant')]) {
          const told = since.formula(cell);
          const listed = anew.formulas.find(({ id }) => `formula:${id}` === cell.name);
          if (listed) expect(told).toEqual(listed);
        }
      }
      since.end();
    }),
    { numRuns: 60 },
  );
});

it('works out again only what an edit reaches', () => {
  const text = 'formula A-1 "A"\n  toner BLK-1 1\n\nformula B-1 "B"\n  toner WHT-1 1\n';
  const [old, now] = [bookOf(text), bookOf(text.replaceAll('-1 1', '-1 2'))];
  const since = new Since(version('old', old), version('new', now));
  const told = () => since.all().formulas.map(({ toners }) => toners);
  const [a, b] = told();
  now.setFile(URI, now.files.get(URI)!.text.replace('BLK-1 2', 'BLK-1 3'));
  const [a2, b2] = told();
  expect(a2).not.toEqual(a);
  expect(b2).toBe(b);
});

it('a book that takes over a file reads nothing of it again', () => {
  const now = bookOf('formula A-1 "A"\n  toner BLK-1 1\n');
  const copy = new Book();
  for (const file of now.files.values()) copy.copyFile(file);
  const [cell, other] = [now.find('formula', 'A-1')!, copy.find('formula', 'A-1')!];
  expect(other).not.toBe(cell);
  expect(other.entry).toBe(cell.entry);
  now.setFile(URI, 'formula A-1 "A"\n  toner BLK-1 2\n');
  expect(copy.files.get(URI)!.text).toBe('formula A-1 "A"\n  toner BLK-1 1\n');
});
