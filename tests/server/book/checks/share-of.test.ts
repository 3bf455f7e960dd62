import { expect, it } from 'vitest';
import { entry } from '../../answers/entry.ts';
import { findingsFor, fixedBy, foundIn } from '../marked.ts';

const system = (line: string) => entry('toner R "r"') + entry('system S "s"', line);

it('asks of what a percentage is, and by what it is measured', () => {
  const text = system('reducer R 10 %');
  expect(findingsFor(text, 'share-of')).toEqual([{ code: 'share-of', marked: '10 %' }]);
  const of = fixedBy(text, 'share-of', 1);
  expect(of).toContain('reducer R 10 % of mix\n');
  expect(foundIn(of).find((one) => one.code === 'share-of')!.problem).toContain('By volume'.toLowerCase());
  expect(fixedBy(of, 'share-of', 0)).toContain('reducer R 10 % of mix by volume\n');
});

it('takes parts to parts of paint as they are, but for how they are measured', () => {
  const text = system('hardener R parts 1 to 2 of paint');
  expect(fixedBy(text, 'share-of', 1)).toContain('parts 1 to 2 of paint by weight\n');
  expect(findingsFor(system('hardener R parts 1 to 2 by volume'), 'share-of')).toEqual([]);
});
