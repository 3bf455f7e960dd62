import { expect, it } from 'vitest';
import { folderOf, pourbook } from './shop.ts';

const BOOK = `book "Saltmarsh"
  language 1
  scale 0.1 g
  illuminants D65/10

toner GRN-2 "Green"
toner BND-0 "Binder"

reading STD "Panel"
  taken 2026-10-02T09:00
  lab 45/0 50 0 0

reading OTHER "Another angle"
  taken 2026-10-02T09:00
  lab 45as15 50 0 0

formula F "Sprayed"
  target weight 80 g as poured
  standard STD
  toner GRN-2 60
  toner BND-0 40

variant F/new "Not sprayed"
  toner GRN-2 +1

formula ELSE "No angle in common"
  standard OTHER
  toner GRN-2 1

sprayout ELSE-CARD of ELSE
  toner GRN-2 1
  lab 45/0 51 0 0

formula BARE "No standard"
  toner GRN-2 1

sprayout CARD of F
  measured 2026-10-03T10:00
  toner GRN-2 60
  toner BND-0 40
  lab 45/0 51 0 0
`;

async function why(...args: string[]) {
  return pourbook(await folderOf({ 'book.pour': BOOK }), 'why', ...args);
}

it('leads every figure back to the lines it was made of', async () => {
  const { code, out } = await why('F/new', 'pour', 'GRN-2', '--json');
  expect(code).toBe(0);
  // 80 g of 61 in 101 parts is 48.317 g.
  expect(JSON.parse(out)).toMatchObject({
    figure: 'pour of GRN-2 in F/new',
    value: '48.3 g, the scale then shows 48.3 g',
    basis: 'computed',
    steps: expect.arrayContaining([
      { text: 'toner GRN-2 60', place: 'book.pour:20' },
      { text: 'toner GRN-2 +1', place: 'book.pour:24' },
    ]),
  });
});

it('tells the measured difference, or why there is none', async () => {
  expect((await why('F', 'difference')).out).toMatch(/worst 1\.0 dE00 at 45\/0 \(measured\)/);
  for (const [id, told] of [
    ['F/new', /F\/new has no difference: it is not sprayed yet/],
    ['ELSE', /ELSE has no difference: card ELSE-CARD and OTHER have no angle in common/],
    ['BARE', /BARE has no difference: no reading of the book is named as its standard/],
  ] as const) {
    const { code, err } = await why(id, 'difference');
    expect(code).toBe(2);
    expect(err).toMatch(told);
  }
});

it('says what kind an entry is when figures are asked of the wrong one', async () => {
  expect(await why('STD', 'total')).toMatchObject({ code: 2, err: "'STD' is a reading. Name a formula here." });
  expect(await why('reading:STD', 'total')).toMatchObject({ code: 2, err: "'STD' is a reading. Name a formula here." });
  expect((await why('F/nev', 'total')).err).toMatch(/Did you mean 'F\/new'\?/);
});
