import { expect, it } from 'vitest';
import { entry } from '../../answers/entry.ts';
import { findingsFor, fixedBy, foundIn } from '../marked.ts';

const BOOK =
  entry('book "b"', 'scale 0.1 g') +
  entry('system WB "w"', 'keeps 30 days') +
  entry('system SB "s"') +
  entry('toner A "a"', 'system WB') +
  entry('toner H "h"', 'kind hardener') +
  entry('formula F "f"', 'system WB', 'toner A 60', 'toner B 40') +
  entry('formula G "g"', 'system SB', 'toner C 1') +
  entry('batch OLD of F', 'make 100 g', 'mixed 2026-09-01', 'poured A 60.0 g', 'poured B 40.0 g') +
  entry('batch HARD of F', 'make 100 g', 'poured A 60.0 g', 'poured H 10.0 g') +
  entry('batch OTHER of G', 'make 100 g', 'poured C 100.0 g');

const use = (line: string, mixed = '2026-09-20') => BOOK + entry('batch B of F', 'make 50 g', `mixed ${mixed}`, line);
const refused = (text: string) =>
  foundIn(text)
    .filter((one) => one.code.startsWith('leftover'))
    .map((one) => one.problem);

it('is refused when it has hardener, is of another system or too old', () => {
  expect(refused(use('from leftover OLD 20 g'))).toEqual([]);
  expect(refused(use('from leftover HARD 20 g'))[0]).toContain('hardener');
  expect(refused(use('from leftover OTHER 20 g'))[0]).toContain('system SB');
  expect(refused(use('from leftover OLD 20 g', '2026-10-02'))[0]).toContain('keeps 30 days');
});

it('of a toner that the formula lacks is refused', () => {
  expect(refused(use('from leftover OLD 20 g').replace('poured B 40.0 g', 'poured X 40.0 g'))[0]).toContain('X');
});

it('says the smallest batch that uses all of it', () => {
  const text = use('from leftover OLD 60 g');
  expect(findingsFor(text, 'leftover-much')).toEqual([{ code: 'leftover-much', marked: '60 g' }]);
  expect(fixedBy(text, 'leftover-much')).toContain('make 60.0 g');
});
