import { expect, it } from 'vitest';
import { shopOf } from '../../../../server/book/known.ts';
import { bookOf, findingsFor } from '../marked.ts';

const shop = (step: string) => `book "b"\n  scale ${step}\n`;
const scale = (step: string) => `scale FINE "Fine"\n  readability ${step}\n`;
const told = (text: string) => findingsFor(text, 'scale-unit').map((one) => one.marked);

it('tells a scale that counts in pounds or ounces, of the bench and beside it', () => {
  expect(told(shop('0.005 oz-av'))).toEqual(['0.005 oz-av']);
  expect(told(scale('0.002 lb'))).toEqual(['0.002 lb']);
  for (const step of ['0.1 g', '1 mg', '0.001 kg', '2 l'])
    expect([...told(shop(step)), ...told(scale(step))]).toEqual([]);
});

it('uses the documented step until the scale shows grams', () => {
  for (const [step, grams] of [
    ['0.005 oz-av', 0.1],
    ['0.05 g', 0.05],
  ] as const)
    expect(shopOf(bookOf({ 'a.pour': shop(step) })).step.valueOf()).toBe(grams);
});
