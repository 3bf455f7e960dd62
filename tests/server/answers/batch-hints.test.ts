import { describe, expect, it } from 'vitest';
import { batchHints } from '../../../server/answers/batch-hints.ts';
import { subject } from '../../../server/answers/subject.ts';
import { bookOf } from '../book/marked.ts';
import { entry } from './entry.ts';

const DARK =
  entry('book "b"', 'scale 0.1 g', 'weighing within 5 %') +
  entry('formula DARK "d"', 'toner GRN-2 41.20', 'toner ALU-C 21.50', 'toner BLK-1 1.65', 'toner BND-0 34.95');

const hints = (...lines: string[]) => {
  const book = bookOf(DARK + entry('batch B of DARK', 'make 80 g', ...lines));
  return batchHints(book, subject(book, 'B', ['batch'])).map(({ line, text }) => `${line.word}: ${text}`);
};

describe('hints of a batch', () => {
  it('begin behind the amount', () => {
    expect(hints()).toEqual(['make: next 33.2 g: 33.2 g of GRN-2']);
  });

  it('say the next running figure first, then the pour, behind the line that was just written', () => {
    expect(hints('poured GRN-2 33.2 g')).toEqual(['poured: next 50.5 g: 17.3 g of ALU-C; → 33.2 g, as meant']);
    expect(hints('poured GRN-2 33.2 g', 'poured ALU-C scale 50.5 g')).toEqual([
      'poured: → 33.2 g, as meant',
      'poured: next 51.8 g: 1.3 g of BLK-1; 17.3 g poured, as meant',
    ]);
  });

  it('say how far a pour is off, and whether it matters', () => {
    expect(hints('poured GRN-2 33.2 g', 'poured ALU-C 18.0 g')[1]).toBe(
      'poured: next 52.5 g: 1.3 g of BLK-1; → 51.2 g, 0.7 g over: within the 5 % accepted',
    );
    expect(hints('poured GRN-2 33.2 g', 'poured ALU-C scale 53.2 g')[1]).toBe(
      'poured: next 54.5 g: 1.3 g of BLK-1; 20.0 g poured, 2.7 g over: more than the 5 % accepted',
    );
    expect(hints('poured GRN-2 30.0 g')).toEqual(['poured: next 33.2 g: 3.2 g of GRN-2; → 30.0 g, 3.2 g short']);
  });

  it('follow what is taken out, weighed and tinted', () => {
    expect(hints('poured GRN-2 33.2 g', 'poured ALU-C 18.0 g', 'removed 1.9 g').at(-1)).toBe(
      'removed: next 50.5 g: 1.2 g of GRN-2',
    );
    expect(hints('poured GRN-2 33.2 g', 'tinted BLK-1 0.3 g').at(-1)).toBe(
      'tinted: next 50.8 g: 17.3 g of ALU-C; → 33.5 g',
    );
  });

  it('say when all is in, and nothing more of a closed batch', () => {
    const all = ['poured GRN-2 33.2 g', 'poured ALU-C 17.3 g', 'poured BLK-1 1.3 g', 'poured BND-0 28.2 g'];
    expect(hints(...all).at(-1)).toBe('poured: all in: 80.0 g; → 80.0 g, as meant');
    expect(hints(...all, 'closed 2026-10-02 by RO').at(-1)).toBe('poured: → 80.0 g');
  });

  it('say behind the amount why nothing can be followed', () => {
    const book = bookOf(`${DARK}${entry('batch B of NONE', 'make 80 g')}`);
    expect(batchHints(book, subject(book, 'B', ['batch']))[0]!.text).toBe("There is no formula 'NONE' in this book.");
  });
});
