/** What the sheet says before the first pour. */
import { expect, it } from 'vitest';
import { type SheetAsked, sheet } from '../../../server/answers/sheet.ts';
import { subject } from '../../../server/answers/subject.ts';
import { quantity } from '../../../server/exact/quantity.ts';
import { rational } from '../../../server/exact/rational.ts';
import { bookOf } from '../book/marked.ts';
import { entry } from './entry.ts';

const BOOK =
  entry('book "b"', 'scale 0.1 g', 'weighing within 5 %') +
  entry('scale FINE "Fine"', 'readability 0.01 g', 'capacity 200 g') +
  entry('toner A "a"') +
  entry('toner BND "Binder"', 'kind binder') +
  entry('formula F "f"', 'toner A 1.25', 'toner BND 98.75') +
  entry('formula P "p"', 'coat ground', 'toner A 50', 'coat mid', 'toner A 1', 'toner BND 49');

const warned = (id: string, grams: string, more: SheetAsked = {}) => {
  const book = bookOf(BOOK);
  const asked = { quantity: quantity(rational(grams), 'g'), ...more };
  return sheet(book, subject(book, id, ['formula']), asked).warnings.map((one) => one.message);
};

it('names the three ways out of a pour that the scale cannot weigh', () => {
  // A step of 0.1 g is 5 % of 2.0 g; 2.0 / 0.0125 = 160 g.
  expect(warned('F', '100')).toEqual([
    '1.3 g of A is too little for this scale: below 2.0 g a pour may be off by more than the accepted 5 %. Make at least 160.0 g, weigh it on FINE, which shows 0.01 g or pour 2.5 parts of A-50 (50 % A in BND) for A, with BND at 97.5.',
  ]);
  expect(warned('F', '100', { scale: 'FINE' })).toEqual([]);
});

it('takes half for enough where the scale is set to zero before every pour', () => {
  expect(warned('F', '100', { mode: 'tared' })).toEqual([]);
  expect(warned('F', '60', { mode: 'tared' })[0]).toContain('below 1.0 g');
});

it('tells each coat of its own cup, which a scale carries alone', () => {
  // 90 g of the mid coat hold 1.8 g of A. At 190 g the finer scale carries each cup, though not both together.
  expect(warned('P', '180')).toEqual([
    expect.stringContaining('1.8 g of A in the mid coat is too little for this scale'),
  ]);
  expect(warned('P', '190')[0]).toContain('Make at least 100.0 g of the mid coat, weigh it on FINE');
});

it('takes the binder of several let-downs from its line once for all', () => {
  const text = BOOK + entry('toner C "c"') + entry('formula G "g"', 'toner A 1', 'toner C 1.5', 'toner BND 97.5');
  const book = bookOf(text);
  const [one] = sheet(book, subject(book, 'G'), { quantity: quantity(rational(100), 'g') }).warnings;
  expect(one!.message).toContain(
    'pour 2 parts of A-50 (50 % A in BND) for A and 3 parts of C-50 (50 % C in BND) for C, with BND at 95.',
  );
});

it('counts the undercoat among the cups', () => {
  const text =
    BOOK +
    entry('toner W "w"', 'kind white') +
    entry('toner K "k"') +
    entry('undercoat SEAL "s"', 'grey N9 toner W 99 toner K 1', 'grey N9.5 toner W 100', 'grey N2 toner K 100') +
    entry('formula U "u"', 'undercoat SEAL grey N9', 'toner A 100');
  const book = bookOf(text);
  const warned = (grams: number) =>
    sheet(book, subject(book, 'U'), { quantity: quantity(rational(grams), 'g') }).warnings.map((one) => one.message);
  expect(warned(100)).toEqual([
    expect.stringMatching(
      /^1\.0 g of K in the undercoat is too little.*Make at least 200\.0 g of the undercoat or weigh it on FINE/,
    ),
  ]);
  expect(warned(200)).toEqual([]);
});

it('says before the first pour that a VOC is above its limit', () => {
  const liquid = (id: string, solids: string) =>
    entry(`toner ${id} "t"`, 'density 1 g/ml', `solids ${solids} % weight`);
  const text = (colour: string, ground: string) =>
    entry('book "b"', 'voc eu-2004-42 topcoat') +
    liquid('A', colour) +
    liquid('W', ground) +
    liquid('K', ground) +
    entry('undercoat SEAL "s"', 'grey N9 toner W 1', 'grey N2 toner K 1') +
    entry('formula F "f"', 'undercoat SEAL grey N9', 'toner A 1');
  const warned = (colour: string, ground: string) => {
    const book = bookOf(text(colour, ground));
    const { warnings } = sheet(book, subject(book, 'F'), { quantity: quantity(rational(100), 'g') });
    return warnings.map((one) => `${one.kind}: ${one.message}`);
  };
  expect(warned('58', '46')).toEqual([]);
  expect(warned('57.9', '45.9')).toEqual([
    'voc: The VOC of the colour is 421.0 g/l less water as poured, above the 420 g/l of EU Directive 2004/42/EC, Annex II B topcoat as of 2026-11-25. Local rules may be stricter.',
    'voc: The VOC of the undercoat SEAL grey N9 is 541.0 g/l less water as poured, above the 540 g/l of EU Directive 2004/42/EC, Annex II B surfacer as of 2026-11-25. Local rules may be stricter.',
  ]);
});
