import { expect, it } from 'vitest';
import { reviewText } from '../../../server/report/text/review.ts';
import { review } from '../../../server/review/review.ts';
import type { Source } from '../../../server/review/source.ts';
import { openVersions } from '../../../server/review/versions.ts';

const BOOK = `toner A "a"
toner B "b"
formula RED-1 "Over its ground"
  undercoat formula PNK-1
  target weight 100 g
  toner A 90
  toner B 10
formula PNK-1 "Ground"
  target weight 100 g
  toner A 50
  toner B 50
formula ELSE "Has nothing to do with them"
  note "PNK-1 is not meant here"
  toner A 1
sprayout C-1 of PNK-1
  toner A 50
  toner B 50
  lab 45/0 50 10 10
`;
const source = (text: string): Source => ({
  label: text.length.toString(),
  files: new Map([['book.pour', { id: text, text }]]),
  beside: new Map(),
});
const reviewed = async (after: string) => review(await openVersions(source(BOOK), source(after)));

it('a change of a coloured undercoat reaches the formulas over it, and no other', async () => {
  const found = await reviewed(
    BOOK.replace('  toner A 50\n  toner B 50\nformula', '  toner A 60\n  toner B 40\nformula'),
  );
  expect(found.formulas.map(({ id, because }) => [id, because]).sort()).toEqual([
    ['PNK-1', ['itself']],
    ['RED-1', ['formula PNK-1']],
  ]);
  const red = found.formulas.find(({ id }) => id === 'RED-1')!;
  expect(red.undercoat.before!.pours).toBe('A 50.0 g, B 50.0 g');
  expect(red.undercoat.after!.pours).toBe('A 60.0 g, B 40.0 g');
  // Another colour below: what it does to this one is not known here.
  expect(red.grade).toBe('needs a spray-out');
});

it('another undercoat is told by what it is', async () => {
  const found = await reviewed(BOOK.replace('undercoat formula PNK-1', 'undercoat SEAL grey N5'));
  expect(found.formulas.map(({ id }) => id)).toEqual(['RED-1']);
  const told = reviewText(found);
  expect(told).toContain('formula PNK-1');
  expect(told).toContain('SEAL grey N5');
});
