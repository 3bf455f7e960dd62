import { expect, it } from 'vitest';
import { folderOf, pourbook } from './shop.ts';

/** The figures of the design's example; the pours are worked out by hand from the parts. */
const BOOK = `book "Saltmarsh Coachworks"
  language 1
  scale 0.1 g

toner GRN-2 "Green"
toner ALU-C "Coarse flake"
toner BLK-1 "Black"
toner BND-0 "Binder"
toner SEAL-W "White sealer"
toner SEAL-K "Black sealer"

undercoat SEAL "Sealer"
  grey N9.5 toner SEAL-W 100
  grey N2 toner SEAL-K 100
  grey N5 toner SEAL-W 71.5 toner SEAL-K 28.5

formula SAM-31 "Samphire Green"
  undercoat SEAL grey N5
  target weight 250 g as poured
  toner GRN-2 41.20
  toner ALU-C 22.60
  toner BLK-1 1.25
  toner BND-0 34.95

variant SAM-31/dark "Darker on the flop"
  toner BLK-1 +0.40
  toner ALU-C -1.10

batch SAM-31 of SAM-31
  make 80 g
`;

async function mix(...args: string[]) {
  return pourbook(await folderOf({ 'book.pour': BOOK }), 'mix', ...args);
}

const running = (out: string) => JSON.parse(out).pours.map((pour: { cumulative: string }) => pour.cumulative);

it('rounds by the running column, in decimal strings at the step of the scale', async () => {
  const { code, out } = await mix('SAM-31', '--weight', '80g', '--json');
  expect(code).toBe(0);
  const sheet = JSON.parse(out);
  expect(sheet).toMatchObject({ formula: 'SAM-31', weight: '80', weighable: '80.0', total: '80.0' });
  expect(running(out)).toEqual(['33.0', '51.0', '52.0', '80.0']);
  expect(sheet.pours.map((pour: { grams: string }) => pour.grams)).toEqual(['33.0', '18.0', '1.0', '28.0']);
  expect(sheet.undercoat).toMatchObject({ undercoat: 'SEAL', grey: 'N5' });
  expect(sheet.undercoat.pours).toEqual([
    { toner: 'SEAL-W', grams: '57.2', cumulative: '57.2' },
    { toner: 'SEAL-K', grams: '22.8', cumulative: '80.0' },
  ]);
});

it('takes the parts of a variant from its parent', async () => {
  const { out } = await mix('formula:SAM-31/dark', '--weight', '80 g', '--json');
  expect(running(out)).toEqual(['33.2', '50.5', '51.8', '80.0']);
});

it('says what is wrong with a weight', async () => {
  for (const [weight, told] of [
    ['80', /Write a number and a unit, for example 80g/],
    ['80,5g', /decimal comma\. Write 80\.5g/],
    ['80,5', /decimal comma\. Write 80\.5g/],
    ['2 oz', /write 'oz-av'/],
    ['80 x', /'x' is not a unit of this language/],
  ] as const) {
    const { code, err } = await mix('SAM-31', '--weight', weight);
    expect(code).toBe(2);
    expect(err).toMatch(told);
  }
});

it('knows no other kind', async () => {
  expect(await mix('SEAL')).toMatchObject({ code: 2, err: "'SEAL' is an undercoat. Name a formula here." });
});
