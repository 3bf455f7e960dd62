/** The VOC of formulas against the limit that the book names. Computed by hand from the formula beside each. */
import { expect, it } from 'vitest';
import { findingsFact, findingsIn } from '../../../../server/book/findings.ts';
import { entry } from '../../answers/entry.ts';
import { bookOf, findingsFor, foundIn } from '../marked.ts';

const EU = entry('book "b"', 'voc eu-2004-42 topcoat');
/** 500 g/l and 400 g/l: what is not solid leaves. */
const TONERS =
  entry('toner HIGH "h"', 'density 1 g/ml', 'solids 50 % weight') +
  entry('toner LOW "l"', 'density 1 g/ml', 'solids 60 % weight');
const BOOK = EU + TONERS;

const above = (text: string) => findingsFor(text, 'voc-above').map(({ marked }) => marked);

it('tells a formula above the limit with its figure, its limit and the date of that', () => {
  const [found] = foundIn(`${BOOK}${entry('formula F "f"', 'toner HIGH 1')}`).filter((one) => one.code === 'voc-above');
  expect(found).toMatchObject({ severity: 'warning', marked: 'F' });
  expect(found!.problem).toMatch(
    /^Its VOC is 500\.0 g\/l less water, as poured, above the 420 g\/l of EU Directive 2004\/42\/EC, Annex II B topcoat as of \d{4}-\d\d-\d\d\.$/,
  );
  expect(above(`${BOOK}${entry('formula F "f"', 'toner LOW 1')}`)).toEqual([]);
  // 0.8 x 400 + 0.2 x 500 is the limit itself.
  expect(above(`${BOOK}${entry('formula F "f"', 'toner LOW 4', 'toner HIGH 1')}`)).toEqual([]);
  expect(above(`${BOOK}${entry('formula F "f"', 'toner LOW 3.99', 'toner HIGH 1')}`)).toEqual(['F']);
});

it('counts the reducer that gives most', () => {
  const system = entry('system S "s"', 'reducer R 20 % of paint by volume');
  const reducer = entry('toner R "r"', 'density 0.9 g/ml', 'solids 0 % weight');
  // (400 + 0.2 x 900) / 1.2
  const text = `${BOOK}${system}${reducer}${entry('formula F "f"', 'system S', 'toner LOW 1')}`;
  expect(foundIn(text).find((one) => one.code === 'voc-above')?.problem).toContain(
    '483.3 g/l less water, ready to spray',
  );
});

it('holds against a limit of the book’s own, to its last digit', () => {
  const own = entry('book "b"', 'voc harbour colour', 'limit harbour colour 499.5 g/l actual on 2026-11-20');
  const [found] = foundIn(`${own}${TONERS}${entry('formula F "f"', 'toner HIGH 1')}`).filter(
    (one) => one.code === 'voc-above',
  );
  expect(found!.problem).toContain(
    '500.0 g/l actual, as poured, above the 499.5 g/l of harbour colour as of 2026-11-20.',
  );
});

it.each([
  ['the book names no limit', entry('book "b"') + TONERS + entry('formula F "f"', 'toner HIGH 1')],
  ['a figure is not known', BOOK + entry('toner Z "z"') + entry('formula F "f"', 'toner HIGH 9', 'toner Z 1')],
  ['the formula is withdrawn', BOOK + entry('formula F "f"', 'status withdrawn', 'toner HIGH 1')],
  ['an expectation says it', BOOK + entry('formula F "f"', 'toner HIGH 1', 'expect voc <= 420 g/l')],
  ['the formula is empty', BOOK + entry('formula F "f"')],
])('is quiet where %s', (_, text) => {
  expect(above(text)).toEqual([]);
});

it('is told where the formula expects less than the limit asks for, and of a variant by itself', () => {
  expect(above(BOOK + entry('formula F "f"', 'toner HIGH 1', 'expect voc <= 600 g/l'))).toEqual(['F']);
  const variant = entry('formula F "f"', 'toner LOW 1', 'toner HIGH 0.1') + entry('variant F/v "v"', 'toner HIGH +1');
  expect(above(BOOK + variant)).toEqual(['F/v']);
});

it('looks again only at formulas that hold what changed', () => {
  const toner = (solids: number) => entry('toner HIGH "h"', 'density 1 g/ml', `solids ${solids} % weight`);
  const book = bookOf({
    'a.pour': toner(60),
    'b.pour': `${EU}${TONERS.slice(TONERS.indexOf('toner LOW'))}${entry('formula F "f"', 'toner HIGH 1')}${entry('formula G "g"', 'toner LOW 1')}`,
  });
  const [high, low] = ['F', 'G'].map((id) => book.find('formula', id)!);
  expect(findingsIn(book, high!).some((one) => one.code === 'voc-above')).toBe(false);
  const before = findingsFact(book, low!).get();
  book.setFile('file:///book/a.pour', toner(50));
  expect(findingsIn(book, high!).some((one) => one.code === 'voc-above')).toBe(true);
  expect(findingsFact(book, low!).get()).toBe(before);
});
