/** A figure that is nought, absurdly small or absurdly large is a finding or an answer, never a failure and never NaN. */
import { expect, it } from 'vitest';
import { compare } from '../../../server/answers/compare.ts';
import { match } from '../../../server/answers/match.ts';
import { panel } from '../../../server/answers/panel.ts';
import { sheet } from '../../../server/answers/sheet.ts';
import { show } from '../../../server/answers/show.ts';
import { Unanswerable } from '../../../server/answers/subject.ts';
import { derivationOf } from '../../../server/answers/why.ts';
import type { Book } from '../../../server/book/book.ts';
import type { EntryCell } from '../../../server/book/cell.ts';
import type { BookFile } from '../../../server/book/file.ts';
import { findingsIn } from '../../../server/book/findings.ts';
import { unlearnedSamples } from '../../../server/book/optics/optics.ts';
import { inlayHints } from '../../../server/editor/inlay-hints.ts';
import { cardOf } from '../../../server/report/markdown/card.ts';
import { bookOf } from '../book/marked.ts';

const grey = (value: number) => Array.from({ length: 16 }, () => value).join(' ');

/** Every place that holds a figure, in entries that hang together. */
const BOOK = `book "b"
  language 1
  scale 0.1 g
  illuminants D65/10 A/10
  tolerance 1.0 dE00
  tolerance 45as15 2.0 dE00
  saunderson k1 0.04 k2 0.60 specular excluded
  recalibrate every 3 days
  takes 3 within 0.3 dE00
  weighing within 5 %
  voc eu-2004-42 topcoat
  limit harbour topcoat 340 g/l less-water on 2026-11-20
  clear voc 500 g/l
  transfer 60 % loss 20 ml

system WB "Waterborne"
  film 15 um per coat
  coats 2..3
  reducer RED 20 % by volume
  hardener HRD 10 % by weight
  keeps 3 days
  pot life 2 h

toner RED "Reducer"
  system WB
  density 1.0 kg/l
  kind reducer

toner HRD "Hardener"
  system WB
  density 1.1 kg/l
  solids 60 % weight
  kind hardener

toner BLK "Black"
  system WB
  kind opaque
  density 1.04 g/ml
  solids 31.0 % weight
  water 10 %
  exempt 5 % density 0.79 g/ml
  voc 300 g/l
  price 38.50 EUR/l
  lot L-1 strength 97 % opened 2026-09-01 stock 2 l
  absorption 400..700/20 ${grey(3)}
  scattering 400..700/20 ${grey(0.2)}

toner WHT "White"
  system WB
  kind white
  density 1.30 g/ml
  solids 50 % volume
  price 20 EUR/kg
  absorption 400..700/20 ${grey(0.01)}
  scattering 400..700/20 ${grey(2)}

letdown BLK-10 "Thin black" of BLK
  toner BLK 10
  toner WHT 90

undercoat SEAL "Sealer"
  system WB
  density 1.2 g/ml
  grey N9 toner WHT 100
  grey N5 toner WHT 70 toner BLK 30
  grey N2 toner BLK 100
  coats 1..2

instrument BENCH "Bench"
  geometry 45/0
  calibrated 2026-10-13T08:00 at 21 C
  tile 2026-10-13 95.0 -0.5 2.0
  tile 2026-10-14 95.1 -0.4 2.0

reading STD "Standard"
  taken 2026-10-14T09:20 with BENCH
  surface cleared polished 21 C
  lab 45/0 take 1 50.0 1.0 2.0
  lab 45/0 take 2 50.2 1.0 2.0
  spectrum 45/0 take 1 400..700/20 ${grey(0.18)}

formula F "Grey"
  system WB
  years 2019..2023
  finish solid
  undercoat SEAL grey N6
  target weight 250 g as poured
  standard STD
  coats 2
  toner WHT 80
  toner BLK 20
  expect sprayout worst <= 1.0 dE00
  expect coats <= 3
  expect share BLK < 30 %
  expect cost <= 40 EUR/l
  expect voc <= 420 g/l
  expect total = 100
  expect pour BLK = 50 g at 250 g

variant F/dark "Dark"
  target weight 100 ml as ready to spray
  toner BLK +0.4
  toner WHT -5 %
  toner BLK-10 = 1.5

formula P "Of two coats"
  system WB
  undercoat SEAL grey L* 51
  target weight 2 m2
  coat ground coats 2
  toner WHT 90
  coat mid coats 3
  toner BLK 10

sprayout C of F
  sprayed 2026-10-20
  measured 2026-10-21T08:00 with BENCH
  over SEAL grey N6
  film 30 um in 2 coats
  toner WHT 80
  toner BLK 20
  lab 45/0 49 1 2
  spectrum 45/0 400..700/20 ${grey(0.17)}

drawdown D "Black on white"
  over white
  film 30 um
  toner BLK 1
  spectrum 45/0 400..700/20 ${grey(0.04)}

scale FINE "Fine"
  readability 0.01 g
  capacity 2 kg
  tested 2026-11-01 200 g reads 200.01 g

batch B of F
  make 80 g
  cup 200 ml
  scale FINE
  mixed 2026-10-14T10:00
  poured WHT 66.0 g
  poured BLK scale 82.0 g
  tinted BLK 0.5 g
  removed 5 g
  weighed 77 g at 2026-10-14T11:00

batch B-2 of F/dark
  make 500 ml
  from leftover B 20 g
`;

/** Numbers that stand by themselves, before a unit or in a range: the first two of each line, since the others of a list are like them. */
const NUMBERS = [...BOOK.matchAll(/(?<=[ +N]|\.\.)-?\d+(?:\.\d+)?(?=[ \n]|\.\.|\/20)/g)].filter(
  ({ index }) => (BOOK.slice(BOOK.lastIndexOf('\n', index), index).match(/ -?\d+(\.\d+)?(?= )/g)?.length ?? 0) < 2,
);

const ODD = ['0', '0.000000001', '999999999999'];

/** All that is ever asked of an entry; what cannot be answered says so. */
const ASKED: readonly ((book: Book, cell: EntryCell) => unknown)[] = [
  (book, cell) => findingsIn(book, cell),
  (book, cell) => show(book, cell),
  (book, cell) => cardOf(book, cell),
  (book, cell) => (isFormula(cell) ? [sheet(book, cell), sheet(book, cell, { lotStrength: true })] : []),
  (book, cell) => (isFormula(cell) || cell.entry.kind === 'batch' ? panel(book, cell, {}) : []),
  (book, cell) => (isRead(cell) ? match(book, cell) : []),
  (book, cell) => (isRead(cell) ? compare(book, book.find('reading', 'STD')!, cell) : []),
  (book, cell) =>
    cell.entry.lines.flatMap((line) => line.values.map((value) => derivationOf(book, cell, line, value) ?? [])),
];

const isFormula = ({ entry }: EntryCell) => entry.kind === 'formula' || entry.kind === 'variant';
const isRead = ({ entry }: EntryCell) => entry.kind === 'reading' || entry.kind === 'sprayout';

/** What goes wrong in a book, in words; findings that a check failed are among it. */
function faults(text: string): string[] {
  const book = bookOf(text);
  const found: string[] = [];
  const asked = (name: string, ask: () => unknown) => {
    try {
      const told = JSON.stringify(ask());
      const wrong = /check-failed[^}]*|NaN|Infinity|undefined/.exec(told);
      if (wrong) found.push(`${name}: ${wrong[0]}`);
    } catch (error) {
      if (!(error instanceof Unanswerable))
        found.push(
          `${name}: ${String((error as Error).stack)
            .split('\n')
            .slice(0, 3)
            .join(' ')}`,
        );
      else if (/NaN|Infinity|undefined/.test(error.message)) found.push(`${name}: ${error.message}`);
    }
  };
  asked('samples', () => unlearnedSamples(book));
  const [file] = book.files.values() as unknown as [BookFile];
  asked('hints', () => inlayHints(book, file, { start: { line: 0, character: 0 }, end: { line: 999, character: 0 } }));
  for (const cell of book.cells())
    for (const [n, ask] of ASKED.entries()) asked(`${cell.name ?? cell.entry.kind} ${n}`, () => ask(book, cell));
  return found;
}

it('has nothing to complain of in the book as it is written', () => {
  expect(faults(BOOK)).toEqual([]);
  expect(NUMBERS.length).toBeGreaterThan(100);
});

/** Nought, which a hand leaves while it types, in every place; the others in turn. */
const oddFor = (n: number): string => ODD[n % 4 === 3 ? (n % 8 < 4 ? 1 : 2) : 0]!;

it('stands an odd figure in every place that holds one', { timeout: 120_000 }, () => {
  const wrong = NUMBERS.flatMap(({ index, 0: number }, n) => {
    const line = BOOK.slice(BOOK.lastIndexOf('\n', index) + 1, BOOK.indexOf('\n', index)).trim();
    const found = faults(BOOK.slice(0, index) + oddFor(n) + BOOK.slice(index + number.length));
    return found.map((fault) => `${oddFor(n)} for ${number} in '${line}': ${fault}`);
  });
  expect(wrong).toEqual([]);
});

it.each([
  ['density 1.04 g/ml', 'density 0 g/ml'],
  ['toner BLK 20', 'toner BLK 0'],
  ['readability 0.01 g', 'readability 0 g'],
  ['undercoat SEAL grey L* 51', 'undercoat SEAL grey L* 510'],
  ['keeps 3 days', 'keeps 999999999999 days'],
  ['recalibrate every 3 days', 'recalibrate every 999999999999 days'],
  ['scale 0.1 g', 'scale 999999999999 g'],
  ['target weight 250 g', 'target weight 0.000000001 g'],
])('answers for %j written as %j', (right, wrong) => {
  expect(BOOK).toContain(right);
  expect(faults(BOOK.replaceAll(right, wrong))).toEqual([]);
});
