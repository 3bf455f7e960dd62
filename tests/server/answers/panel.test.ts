import { expect, it } from 'vitest';
import { panel } from '../../../server/answers/panel.ts';
import { subject } from '../../../server/answers/subject.ts';
import { bookOf } from '../book/marked.ts';
import { entry } from './entry.ts';

const BOOK =
  entry('book "b"', 'scale 0.1 g', 'weighing within 10 %') +
  ['A', 'B', 'C', 'D'].map((code) => entry(`toner ${code} "${code}"`)).join('') +
  entry('formula F "Green"', 'target weight 250 g', 'toner A 41.20', 'toner B 22.60', 'toner C 1.25', 'toner D 34.95') +
  entry('batch B-1 of F', 'make 80 g', 'poured A 33.0 g') +
  entry('system S "s"');
const shown = (id: string, asked = {}, text = BOOK) => {
  const book = bookOf(text);
  return panel(book, subject(book, id), asked);
};

it('shows a formula at its target or at the amount asked for', () => {
  expect(shown('F')).toMatchObject({ subtitle: 'F, 250.0 g', amount: true, next: null });
  const at80 = shown('F', { amount: ' 80 ', unit: 'g' });
  expect(at80).toMatchObject({ subtitle: 'F, 80.0 g' });
  expect('sections' in at80 && at80.sections[0]!.rows.map((row) => row.running)).toEqual([
    '33.0 g',
    '51.0 g',
    '52.0 g',
    '80.0 g',
  ]);
});

it('makes each coat ready in its own cup, whose running figures go on', () => {
  const text =
    BOOK.replaceAll(/(toner [A-D] "[A-D]"\n)/g, '$1  density 1 g/ml\n').replace(
      'system S "s"\n',
      'system S "s"\n  reducer D 10 % of paint by weight\n',
    ) + entry('formula P "Pearl"', 'system S', 'coat ground', 'toner A 1', 'toner B 1', 'coat mid', 'toner C 1');
  const found = shown('P', { amount: '90', unit: 'g' }, text);
  expect('sections' in found && found.sections.slice(0, 2).map(({ rows }) => rows.map((row) => row.running))).toEqual([
    ['30.0 g', '60.0 g', '66.0 g'],
    ['30.0 g', '33.0 g'],
  ]);
});

it('says what is wrong with an amount', () => {
  expect(shown('F', { amount: 'much' })).toEqual({
    problem: "'much' is no amount. Write a number such as 80 or 62.5.",
  });
  expect(shown('F', { amount: `1${'0'.repeat(400)}` })).toEqual({
    problem: `'1${'0'.repeat(22)}…' is no amount. Write a number such as 80 or 62.5.`,
  });
  expect(shown('F', { amount: '0' })).toHaveProperty('problem');
  expect(shown('F', { amount: '1', unit: 'l' })).toHaveProperty('problem');
  expect(shown('S')).toHaveProperty('problem');
});

it('of a batch ticks what is in the cup and says what comes next', () => {
  const batch = shown('B-1');
  expect(batch).toMatchObject({ amount: false, next: 'B until the scale shows 51.0 g' });
  expect('sections' in batch && batch.sections[0]!.rows.map((row) => row.done)).toEqual([true, false, false, false]);
  const over = shown('B-1', {}, BOOK.replace('33.0 g', '36.0 g'));
  expect(over).toHaveProperty('next', 'Too much is in the cup. If it stays: B until the scale shows 54.0 g');
  expect('sections' in over && over.sections[1]!.lines).toHaveLength(4);
  // As the scale will show it: 36.0 + 18.0, + 1.0, + 28.0; not as the sheet had it.
  expect('sections' in over && over.sections[0]!.rows.map((row) => `${row.pour} ${row.running}`)).toEqual([
    '36.0 g, 3.0 g over 36.0 g',
    '18.0 g 54.0 g',
    '1.0 g 55.0 g',
    '28.0 g 83.0 g',
  ]);
});

it('opens with the mistakes of a formula, before anything that could be poured', () => {
  const broken = shown('F', {}, BOOK.replace('toner C 1.25', 'toner Z 1.25'));
  expect('sections' in broken && broken.sections[0]).toMatchObject({ title: 'Before you pour' });
  expect('sections' in broken && broken.sections[0]!.lines[0]).toMatch(/^Do not pour yet: There is no toner 'Z'/);
});
