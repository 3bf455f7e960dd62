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

const MEASURED = `book "Saltmarsh"
  language 1
  scale 0.1 g
  illuminants A/10 D65/10

reading SPEC "Flat spectrum, three takes"
  spectrum 45/0 take 1 400..700/20 0.20 0.20 0.20 0.20 0.20 0.20 0.20 0.20 0.20 0.20 0.20 0.20 0.20 0.20 0.20 0.20
  spectrum 45/0 take 2 400..700/20 0.22 0.22 0.22 0.22 0.22 0.22 0.22 0.22 0.22 0.22 0.22 0.22 0.22 0.22 0.22 0.22
  spectrum 45/0 take 3 400..700/20 0.90 0.90 0.90 0.90 0.90 0.90 0.90 0.90 0.90 0.90 0.90 0.90 0.90 0.90 0.90 0.90
  without take 3 "dust"

reading STATED "Stated"
  lab 45as15 D65/10 take 1 50 1 2
  lab 45as15 D65/10 take 2 52 1 2
  lab 45as75 D65/10 30 0 0
`;

it('tells which takes a colour is the mean of, which were left out, and the light that it is seen under', async () => {
  const folder = await folderOf({ 'book.pour': MEASURED });
  const { figure, value, basis, steps } = JSON.parse((await pourbook(folder, 'why', 'SPEC', 'colour', '--json')).out);
  // A neutral of reflectance 0.21 has Y 21 under every light: L* = 116 cbrt(0.21) - 16 = 52.95.
  expect({ figure, value: value.replaceAll('-0.00', '0.00'), basis }).toEqual({
    figure: 'colour of SPEC at 45/0 under A/10',
    value: 'L* 52.95 a* 0.00 b* 0.00',
    basis: 'measured',
  });
  const told = steps.map(({ text, place = '' }: { text: string; place?: string }) => `${text} ${place}`);
  expect(told[0]).toMatch(/A\/10 is the book's main light.* book\.pour:4$/);
  expect(told[1]).toMatch(/mean of 2 spectra.*400\.\.700\/20 nm, 16 values/);
  expect(told[2]).toMatch(/CIE A and the 10 degree observer.*E308.* Y 21\.00 /);
  expect(told).toContain('take 1 book.pour:7');
  expect(told).toContain('take 2 book.pour:8');
  expect(told.join('\n')).not.toMatch(/take 3 book/);
  expect(told).toContain('left out: without take 3 "dust" book.pour:10');
  expect(told.at(-1)).toMatch(/2 takes lie \d\.\d\d dE00 from their mean/);
});

it('tells a stated colour under its own light, and why there is none under another', async () => {
  const folder = await folderOf({ 'book.pour': MEASURED });
  const stated = await pourbook(folder, 'why', 'STATED', 'colour', '45as15', 'D65/10');
  expect(stated.out).toMatch(/^colour of STATED at 45as15 under D65\/10 = L\* 51\.00 a\* 1\.00 b\* 2\.00 \(measured\)/);
  expect(stated.out).toMatch(/mean of 2 stated L\* a\* b\*; no spectrum is known/);
  expect(stated.out).toMatch(/take 2: 52 1 2 {2}\(book\.pour:14\)/);
  for (const [asked, told] of [
    [['colour'], /Say at which angle, one of 45as15 45as75/],
    [['colour', '45as25'], /STATED is not read at 45as25, but at 45as15 45as75/],
    [
      ['colour', '45as15'],
      /no colour at 45as15 under A\/10: it has no spectrum, and its Lab is stated for D65\/10 only/,
    ],
    [['colour', '45as15', 'D64/10'], /'D64' is not an illuminant known here/],
    [['total'], /STATED has no figure 'total'\. Ask for one of: colour GEOMETRY/],
  ] as const) {
    const { code, err } = await pourbook(folder, 'why', 'STATED', ...asked);
    expect([code, err]).toEqual([2, expect.stringMatching(told)]);
  }
});

it('tells the difference of one card, an earlier one too', async () => {
  const { out } = await why('CARD', 'difference');
  expect(out).toMatch(/worst 1\.0 dE00 at 45\/0/);
  expect(out).toMatch(/of card CARD from the standard STD/);
});

const CUP = `book "Saltmarsh"
  scale 0.1 g

toner GRN-2 "Green"
toner BND-0 "Binder"

formula F "Sprayed"
  toner GRN-2 25
  toner BND-0 75

batch B-1 of F
  make 80 g
  poured GRN-2 22.0 g

batch B-2 of F
  make 80 g
  poured GRN-2 20.0 g
  poured BND-0 60.0 g

undercoat SEAL "Sealer"
  grey N9 toner GRN-2 100
  grey N5 toner GRN-2 70 toner BND-0 30
  grey N2 toner BND-0 100
`;

it('derives what comes next in a cup, how far it has to grow, and each way out', async () => {
  const folder = await folderOf({ 'book.pour': CUP });
  const ask = async (...args: string[]) => (await pourbook(folder, 'why', ...args)).out;
  const next = await ask('B-1', 'next');
  expect(next).toMatch(/^next pour of B-1 = 60\.0 g of BND-0, the scale then shows 82\.0 g/);
  expect(next).toMatch(/75 of 100 parts of 80\.0 g = 60\.000 g/);
  expect(next).toMatch(/toner BND-0 75 {2}\(book\.pour:9\)/);
  expect(next).toMatch(/poured GRN-2 22\.0 g {2}\(book\.pour:13\)/);
  // 22 g where 20 g were meant: 1.1 times 80 g is 88 g, of which 66 g are binder.
  expect(await ask('B-1', 'growth')).toMatch(
    /= 1\.1000 times 80\.0 g[\s\S]*22\.000 g in the cup \/ 20\.000 g wanted = 1\.1000/,
  );
  expect(await ask('B-1', 'choice', 'exact')).toMatch(/= 88\.0 g[\s\S]*BND-0 66\.0 g, the scale then shows 88\.0 g/);
  expect(await ask('B-1', 'choice', 'leave')).toMatch(/= 82\.0 g[\s\S]*cannot be predicted/);
  expect(await ask('B-1', 'choice', 'draw', 'off')).toMatch(/= 80\.0 g, 2\.0 g out/);
  expect(await ask('B-1', 'choice', 'start', 'again')).toMatch(/= 80\.0 g, 22\.0 g lost/);
  expect(await ask('B-1', 'pour', 'GRN-2')).toMatch(/\+2\.0 g off the sheet[\s\S]*up to 5 % of a pour.*\(a default\)/);
  expect(await ask('B-2', 'growth')).toMatch(/none: nothing is too much/);
  for (const [asked, told] of [
    [['next'], /Nothing comes next in B-2: all is in/],
    [['choice', 'exact'], /Nothing is too much in B-2/],
    [['choice', 'pray'], /B-2 has no figure 'choice pray'\. Ask for one of: next/],
  ] as const)
    expect((await pourbook(folder, 'why', 'B-2', ...asked)).err).toMatch(told);
});

it('derives a grey from the measured greys beside it', async () => {
  const folder = await folderOf({ 'book.pour': CUP });
  const ask = async (...grey: string[]) => pourbook(folder, 'why', 'SEAL', 'grey', ...grey);
  expect((await ask('N5')).out).toMatch(/= GRN-2 70, BND-0 30 \(measured\)[\s\S]*\(book\.pour:22\)/);
  const { out } = await ask('L* 40');
  expect(out).toMatch(/\(computed\)[\s\S]*two-flux/);
  expect(out).toMatch(/grey N5 .*\(book\.pour:22\)\n.*grey N2 .*\(book\.pour:23\)$/);
  expect((await ask('dark')).err).toMatch(/SEAL has no figure 'grey dark'/);
});

it('says of which entries figures can be asked', async () => {
  expect(await why('GRN-2', 'total')).toMatchObject({
    code: 2,
    err: 'GRN-2 has no figures that are computed. Ask of a formula, a reading, a card, a batch or an undercoat.',
  });
  expect((await why('F/nev', 'total')).err).toMatch(/Did you mean 'F\/new'\?/);
  expect((await why('--help')).out).toMatch(/batch: next, pour TONER, growth, choice leave/);
});
