import { expect, it } from 'vitest';
import { findingsFor, foundIn } from '../marked.ts';

const coats = (...lines: string[]) => `formula F "f"\n${lines.map((line) => `  ${line}\n`).join('')}`;
const found = (...lines: string[]) => findingsFor(coats(...lines), 'coat-order').map((one) => one.marked);

it('coats are written as they are sprayed', () => {
  expect(found('coat ground', 'toner A 1', 'coat mid', 'toner B 1', 'coat top', 'toner C 1')).toEqual([]);
  expect(found('coat ground', 'toner A 1', 'coat top', 'toner C 1')).toEqual([]);
  expect(found('toner A 1')).toEqual([]);
  expect(found('coat mid coats 2', 'toner B 1', 'coat ground', 'toner A 1')).toEqual(['ground']);
  expect(found('coat top', 'toner C 1', 'coat mid', 'toner B 1', 'coat ground', 'toner A 1')).toEqual([
    'mid',
    'ground',
  ]);
});

it('toner lines above the first coat line are of the top coat, which is said', () => {
  const [one] = foundIn(coats('toner C 1', 'coat ground', 'toner A 1')).filter(({ code }) => code === 'coat-order');
  expect(one!.remedy).toContain("Write 'coat top' above the first toner lines");
});
