/** Cutting like an earlier text gives the entries that cutting gives, whatever was edited; what stayed is the same object. */
import fc from 'fast-check';
import { expect, it } from 'vitest';
import { cut, type Slice } from '../../../grammar/cutter.ts';
import { recut } from '../../../server/review/recut.ts';

const line = fc.constantFrom(
  'formula A "a"',
  'formula B "b"',
  'toner BLK-1 "Black"',
  'toner BLK-1 1.25',
  'system WB',
  'system WB "w"',
  '  toner BLK-1 1.25',
  '  toner WHT-1 2',
  '  system WB',
  '  price 4 EUR/kg',
  '# above',
  '  # inside',
  '',
  '  ',
  'stray words',
  '= 5',
);
const text = fc
  .tuple(fc.array(line, { maxLength: 40 }), fc.constantFrom('\n', '\r\n'), fc.boolean(), fc.boolean())
  .map(([lines, end, closed, mark]) => (mark ? '\uFEFF' : '') + lines.join(end) + (closed ? end : ''));

const cutWhole = (text: string) => cut(text).slices;
const fresh = (slice: Slice) => slice;

it('gives the same entries, of any two texts', () => {
  fc.assert(
    fc.property(text, text, (before, after) => {
      const earlier = cutWhole(before);
      const { parts, come, gone } = recut(after, earlier, fresh);
      expect(parts).toEqual(cutWhole(after));
      expect(come).toEqual(parts.filter((part) => !earlier.includes(part)));
      expect(gone).toEqual(earlier.filter((part) => !parts.includes(part)));
    }),
    { numRuns: 2000 },
  );
});

it('gives the same entries after any edit of lines, and most of them as they were', () => {
  const edit = fc.record({ at: fc.nat(), out: fc.nat({ max: 2 }), put: fc.array(line, { maxLength: 2 }) });
  fc.assert(
    fc.property(text, fc.array(edit, { maxLength: 4 }), (before, edits) => {
      const lines = before.split('\n');
      for (const { at, out, put } of edits) lines.splice(at % (lines.length + 1), out, ...put);
      const after = lines.join('\n');
      const earlier = cutWhole(before);
      const { parts, come, gone } = recut(after, earlier, fresh);
      expect(parts).toEqual(cutWhole(after));
      expect(come).toEqual(parts.filter((part) => !earlier.includes(part)));
      expect(gone).toEqual(earlier.filter((part) => !parts.includes(part)));
    }),
    { numRuns: 2000 },
  );
});

it('asks again whether the last entry begins one where its last line goes on', () => {
  const after = 'formula A "a"\nformula A "a"\nsystem WB\n  toner BLK-1 1.25\n';
  const { parts } = recut(after, cutWhole('formula A "a"\nformula A "a"\nsystem WB\n  '), fresh);
  expect(parts).toEqual(cutWhole(after));
});

it('keeps the entries that were not touched', () => {
  const entry = (index: number) => `# no. ${index}\nformula F-${index} "f"\n  toner BLK-1 ${index + 1}\n\n`;
  const entries = Array.from({ length: 60 }, (_, index) => entry(index));
  const earlier = cutWhole(entries.join(''));
  entries[7] = entries[7]!.replace('BLK-1', 'WHT-1');
  entries.splice(30, 1, 'formula NEW "n"\n\n', 'formula NEWER "n"\n\n');
  entries.splice(50, 2);
  const { parts: now } = recut(entries.join(''), earlier, fresh);
  expect(now.map((part) => part.text)).toEqual(entries);
  // One was edited, two came; the last of a text ends where it ended, or it is cut again.
  expect(now.filter((part) => !earlier.includes(part))).toHaveLength(3);
});
