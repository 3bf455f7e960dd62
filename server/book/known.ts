/** What is known about the entries of a book, each asked for by name and kept until something it was read from changes. */
import type { Entry } from '../../grammar/tree.ts';
import type { Namespace } from '../../grammar/words.ts';
import type { Book } from './book.ts';
import type { EntryCell } from './cell.ts';
import { type Batch, readBatch } from './entries/batch.ts';
import { type Formula, readFormula } from './entries/formula.ts';
import { type Instrument, readInstrument, readScale, type Scale } from './entries/instrument.ts';
import { type Card, type Measured, readCard, readMeasured } from './entries/measured.ts';
import { DEFAULT_SHOP, readShop, type Shop } from './entries/shop.ts';
import { type PaintSystem, readSystem } from './entries/system.ts';
import { type Moment, momentOf } from './entries/time.ts';
import { readToner, readUndercoat, type Toner, type Undercoat } from './entries/toner.ts';
import { Derived } from './facts.ts';

/** A reader of one kind of entry, whose result is kept for as long as the entry's text stays. */
function reader<T>(topic: string, read: (entry: Entry) => T): (book: Book, cell: EntryCell) => T {
  return (book, cell) =>
    book
      .fact(
        topic,
        cell,
        () => read(cell.entry),
        () => read(cell.entry),
      )
      .get();
}

export const tonerIn = reader<Toner>('toner', readToner);
export const undercoatIn = reader<Undercoat>('undercoat', readUndercoat);
export const formulaIn = reader<Formula>('formula', readFormula);
export const readingIn = reader<Measured>('reading', readMeasured);
export const cardIn = reader<Card>('card', readCard);
export const batchIn = reader<Batch>('batch', readBatch);
export const instrumentIn = reader<Instrument>('instrument', readInstrument);
export const systemIn = reader<PaintSystem>('system', readSystem);
export const scaleIn = reader<Scale>('scale', readScale);

const shopIn = reader<Shop>('shop', readShop);

/** Asked for with almost every figure of a formula. */
const shops = new WeakMap<Book, Derived<Shop>>();

/** The settings of the shop: its `book` entry, or the documented defaults. */
export function shopOf(book: Book): Shop {
  let shop = shops.get(book);
  if (!shop) {
    shop = new Derived(
      () => {
        const [first] = book.shops();
        return first ? shopIn(book, first) : DEFAULT_SHOP;
      },
      () => DEFAULT_SHOP,
    );
    shops.set(book, shop);
  }
  return shop.get();
}

/** What an entry read of an instrument says, whether a reading or a card. */
export function measuredIn(book: Book, cell: EntryCell): Measured {
  return cell.entry.kind === 'reading' ? readingIn(book, cell) : cardIn(book, cell);
}

export const named =
  <T>(space: Namespace, read: (book: Book, cell: EntryCell) => T) =>
  (book: Book, id: string): T | undefined => {
    const cell = book.find(space, id);
    return cell && read(book, cell);
  };

export const tonerNamed = named('toner', tonerIn);
export const undercoatNamed = named('undercoat', undercoatIn);
export const formulaNamed = named('formula', formulaIn);
export const instrumentNamed = named('instrument', instrumentIn);
export const batchNamed = named('batch', batchIn);
export const systemNamed = named('system', systemIn);
export const scaleNamed = named('scale', scaleIn);

export const moment = (book: Book, text: string | undefined): Moment | undefined => momentOf(text, shopOf(book).zone);
