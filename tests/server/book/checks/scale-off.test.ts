import { expect, it } from 'vitest';
import { findingsFor } from '../marked.ts';

const scale = (...tested: string[]) =>
  `scale FINE "Fine"\n  readability 0.1 g\n${tested.map((line) => `  tested ${line}\n`).join('')}`;
const codes = (text: string) => findingsFor(text, 'scale-off').map((one) => one.marked);

it('goes by the newest test weight', () => {
  expect(codes(scale('2026-11-01 200 g reads 200.2 g', '2026-10-01 200 g reads 200.0 g'))).toEqual(['200.2 g']);
  expect(codes(scale('2026-11-01 200 g reads 200.0 g', '2026-10-01 200 g reads 200.2 g'))).toEqual([]);
});

it('lets a whole step pass, and knows nothing of a scale that was never tested', () => {
  expect(codes(scale('2026-11-01 200 g reads 199.9 g'))).toEqual([]);
  expect(codes(scale())).toEqual([]);
});
