/** Pieces of books for random edits: entries that name each other, share names and spoil each other, and odds and ends between them. */
import fc from 'fast-check';

export const ENTRIES: readonly string[] = [
  'book "Saltmarsh"\n  scale 0.1 g\n  takes 2 within 0.5 dE00\n  recalibrate every 3 days\n',
  'book "Other"\n  timezone Europe/Dublin\n  illuminants A/10 D65/10\n  scale 0.01 g\n  tolerance 0.2 dE00\n',
  'system WB "Waterborne"\n',
  'system SB "Two-pack"\n',
  'instrument BENCH "bench"\n  geometry 45as15 45as45\n  calibrated 2026-10-01T08:00 at 20 C\n',
  'toner BLK-1 "Black"\n  system WB\n',
  'toner BLK-1 "Black again"\n  system SB\n',
  'toner GRN-2 "Green"\n  system WB\n  density 1.04 g/ml\n',
  'toner grn-2 "Green in small letters"\n  system SB\n',
  'letdown BLK-1-10 "Thin black" of BLK-1\n  toner BLK-1 10\n  toner GRN-2 90\n',
  'letdown GRN-2 "Round and round" of BLK-1-10\n  toner BLK-1-10 1\n',
  'undercoat SEAL "Sealer"\n  grey N9 toner GRN-2 100\n  grey N2 toner BLK-1 100\n',
  'reading SAM "door"\n  taken 2026-10-02T09:00 with BENCH\n  surface cleared\n  lab 45as15 take 1 60 -18 9\n  lab 45as15 take 2 60.1 -18 9\n',
  'reading SAM "door again"\n  lab 45as15 A/10 50 -10 9\n  file "sam.csv"\n',
  'formula F-1 "One"\n  system WB\n  target weight 250 g\n  undercoat SEAL grey N5\n  standard SAM\n  toner BLK-1 1.25\n  toner GRN-2 41.2\n',
  'formula F-1 "One again"\n  status withdrawn\n  toner GRN-2 1\n  toner BLK-1 0\n',
  'formula F-2 "Two"\n  maker Marram\n  code x\n  years 2019..2021\n  toner BLK-1 1\n  standard SAM\n',
  'formula F-3 "Three"\n  maker Marram\n  code x\n  years 2020..2023\n  toner BLK-1-10 1\n',
  'variant F-1/dark "Dark"\n  toner BLK-1 +0.4\n  toner GRN-2 -1.1\n',
  'variant F-1/dark/more "More"\n  toner BLK-1 -9\n  without GRN-2\n',
  'variant F-2/light "Light"\n  toner GRN-2 +5 %\n  status trial\n',
  'sprayout C-1 of F-1\n  sprayed 2026-10-02\n  measured 2026-10-03T10:00 with BENCH\n  toner BLK-1 1.25\n  toner GRN-2 41.2\n  lab 45as15 62 -18 9\n',
  'sprayout C-2 of F-1\n  sprayed 2026-10-02\n  surface uncleared\n  lab 45as15 61 -18 9\n',
  'sprayout C-3 of F-1/dark\n  from batch B-1\n  file "sam.csv"\n',
  'batch B-1 of F-1/dark\n  make 80 g\n  poured BLK-1 3.1 g\n  poured GRN-2 scale 76.9 g\n',
  'batch B-2 of F-2\n  make 8 g\n  poured BLK-1 8.04 g\n',
  'scale FINE "f"\n  readability 0.01 g\n',
  'system WB "Waterborne, thinned"\n  reducer GRN-2 15 % of paint by weight from 15 C to 25 C\n  reducer BLK-1 15 % of paint by weight from 25 C to 35 C\n  keeps 30 days\n',
  'toner GRN-2 "Green, priced"\n  density 1.04 g/ml\n  solids 30 % weight\n  price 20 EUR/kg\n',
  'toner BLK-1 "Black, priced"\n  density 0.98 g/ml\n  voc 700 g/l\n  price 30 EUR/l\n',
  'variant F-1/dear "Dear"\n  toner GRN-2 +5\n  expect voc <= 500 g/l\n  expect cost <= 20.5 EUR/kg\n  expect cost <= 5 EUR\n',
  'formula F-4 "Four"\n  code X\n  maker marram\n  target weight 80.25 g\n  undercoat SEAL grey N1\n  toner BLK-1 1\n  toner GRN-2 99\n  expect sprayout worst <= 0.5 dE00\n  expect share BLK-1 < 1 %\n',
  'sprayout C-4 of F-4\n  toner BLK-1 1\n  toner GRN-2 99\n  lab 45as45 take 1 50 0 0\n  spectrum 45as15 400..700/100 0.1 0.2 0.3 0.4\n',
  'formula F-2 "Two, coloured below"\n  undercoat formula F-1/dark\n  toner BLK-1 1\n  toner GRN-2 2\n',
  'formula F-1 "One, on what lies on it"\n  undercoat formula F-2\n  coat top coats 2\n  toner GRN-2 1\n  toner BLK-1 1\n  expect grey >= N4\n',
  'formula F-3 "Three, withdrawn below"\n  undercoat formula F-1\n  coat top coats 1\n  toner BLK-1 1\n  expect coats <= 2\n',
  'toner GRN-2 "Green, stated"\n  system WB\n  absorption 400..700/20 0.2 0.2 0.2 0.1 0.1 0.1 0.1 0.1 0.3 0.5 0.6 0.6 0.6 0.6 0.6 0.6\n  scattering 400..700/20 1 1 1 1 1 1 1 1 1 1 1 1 1 1 1 1\n',
  'sprayout C-5 of F-2\n  over formula F-1\n  film 20 um in 1 coats\n  toner BLK-1 1\n  lab 45/0 50 0 0\n',
  '# a comment above\nformula F-2 "Two with a comment"\n  toner GRN-2 2\n',
];

const ODDS: readonly string[] = [
  '',
  '\n',
  '\r\n',
  ' ',
  '  ',
  '#',
  '# comment\n',
  '"',
  'formula ',
  'variant F-1',
  'toner BLK-1 1.25\n',
  '  toner BLK-1 1.25\n',
  '  standard SAM\n',
  'x',
  '-1',
  '/dark',
  '🎨',
  '漆',
  '\ufeff',
  '\ufffd',
  '<<<<<<< ours\n',
  '||||||| base\n',
  '=======\n',
  '>>>>>>> theirs\n',
  '<<<<<<< ours\n  toner BLK-1 2\n=======\n  toner BLK-1 3\n>>>>>>> theirs\n',
];

const crlf = (text: string, yes: boolean) => (yes ? text.replaceAll('\n', '\r\n') : text);

const odd = fc.constantFrom(...ODDS);

/** A few of the entries: of few, more share a name, stand twice or change places. */
export const few: fc.Arbitrary<string[]> = fc.subarray([...ENTRIES], { minLength: 2, maxLength: 7 });

/** A text of a few entries, in either kind of line end or both. */
export const bookText = (entries: readonly string[] = ENTRIES): fc.Arbitrary<string> =>
  fc
    .array(
      fc
        .tuple(
          fc.oneof({ weight: 6, arbitrary: fc.constantFrom(...entries) }, { weight: 1, arbitrary: odd }),
          fc.nat({ max: 4 }),
        )
        .map(([text, ends]) => crlf(text, ends === 0)),
      { maxLength: 6 },
    )
    .map((parts) => parts.join(''));

/** What an edit writes: a piece of an entry, an odd or end, or some of each. */
export const inserted = (entries: readonly string[] = ENTRIES): fc.Arbitrary<string> => {
  const entry = fc.constantFrom(...entries);
  return fc.oneof(
    odd,
    entry,
    fc.tuple(entry, fc.nat(), fc.nat()).map(([text, a, b]) => {
      const [from, to] = [a % (text.length + 1), b % (text.length + 1)].sort((p, q) => p - q);
      return text.slice(from, to);
    }),
    fc.tuple(odd, entry, odd).map((parts) => parts.join('')),
  );
};

/** Ids of the entries, and some that are none but lie near. */
export const IDS: readonly string[] = [
  'GRN-2',
  'grn-2',
  'GRN-9',
  'BLK-1',
  'BLK-1-10',
  'BLK-9',
  'F-1',
  'F-2',
  'F-9',
  'SAM',
  'SEAL',
];
