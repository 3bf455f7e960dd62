import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { expect, test } from 'vitest';
import { readHandWritten } from './sample/book.ts';
import { solidLadders, sprayouts, waterborneSolids } from './sample/cards.ts';
import { writer } from './sample/entries.ts';
import { lab } from './sample/instrument.ts';
import { spray } from './sample/spray.ts';

const samples = fileURLToPath(new URL('../../samples', import.meta.url));
const book = readHandWritten([join(samples, 'book'), join(samples, 'lessons')]);
const { sprayout, drawdown } = writer(book, (panel) => spray(panel, book));
/** Without the columns that the formatter makes. */
const plain = (text: string) => text.replace(/[ \t]+/g, ' ');
const committed = (file: string) => plain(readFileSync(join(samples, 'book', file), 'utf8'));

test('variants are read as plus and minus against their parents', () => {
  const parts = (id: string) => Object.fromEntries(book.formulas.get(id)!.coats[0]!.parts);
  expect(parts('SAM-31')).toEqual({ 'GRN-2': 41.2, 'ALU-C': 22.6, 'BLK-1': 1.25, 'BND-0': 34.95 });
  expect(parts('SAM-31/dark')['BLK-1']).toBeCloseTo(1.65, 10);
  expect(parts('SAM-31/dark/coarse')['ALU-C']).toBeCloseTo(24.3, 10);
  expect(parts('SAM-31/light')['BLK-1']).toBe(1.05);
});

test('the committed cards are the ones that the simulation makes', () => {
  const black = solidLadders.find(({ id }) => id === 'S-BLK-full')!;
  expect(committed('cards-toners-solid.pour')).toContain(plain(drawdown(black).join('\n')));
  const tar = sprayouts.find(({ of }) => of === 'TAR-1')!;
  expect(committed('cards-solid.pour')).toContain(plain(sprayout(tar).join('\n')));
});

// L* of Munsell neutral values by ASTM D1535 (munsell value function): N2 20.24, N3.5 35.55, N5 51.00, N6.5 65.98, N8 80.53.
test.each([
  ['SEAL-N2', 20.24],
  ['SEAL-N5', 51.0],
  ['SEAL-N8', 80.53],
])('the sealer step %s has the lightness of its Munsell value', (id, lightness) => {
  const card = waterborneSolids.find((plan) => plan.id === id)!;
  const coats = [{ name: 'top' as const, times: 1, parts: new Map(Object.entries(card.parts)) }];
  const spectra = spray({ id, coats, film: card.film, over: 'SEAL grey N5', angles: ['45/0'] }, book);
  // Half a Munsell value is about five L*; a step that is mixed by weight is good to one.
  expect(Math.abs(lab(spectra.get('45/0')!)[0] - lightness)).toBeLessThan(1.5);
});
