import { describe, expect, it } from 'vitest';
import { coloursIn } from '../../../../server/book/colours.ts';
import { bookOf, findingsFor, foundIn } from '../marked.ts';

const grey = (count: number, value = '0.2') => Array.from({ length: count }, () => value).join(' ');
const reading = (...lines: string[]) => `reading R "r"\n${lines.map((line) => `  ${line}\n`).join('')}`;
const CODES = ['spectrum-short', 'spectrum-percent', 'spectrum-unlike', 'check-failed'];

describe('a spectrum', () => {
  it('reaches over the visible range in fine steps', () => {
    expect(findingsFor(reading(`spectrum 45/0 400..700/10 ${grey(31)}`), ...CODES)).toEqual([]);
    expect(findingsFor(reading(`spectrum 45/0 400..700/100 ${grey(4)}`), ...CODES)).toEqual([
      { code: 'spectrum-short', marked: '400..700/100' },
    ]);
    expect(findingsFor(reading(`spectrum 45/0 400..500/10 ${grey(11)}`), ...CODES)).toEqual([
      { code: 'spectrum-short', marked: '400..500/10' },
    ]);
  });

  it('gives no colour where it does not, and spoils nothing beside it', () => {
    const book = bookOf(reading(`spectrum 45/0 400..500/10 ${grey(11)}`, 'lab 45as15 50 0 0'));
    expect(coloursIn(book, book.find('reading', 'R')!).angles.map((angle) => angle.geometry)).toEqual(['45as15']);
  });

  it('is in fractions', () => {
    expect(findingsFor(reading(`spectrum 45as15 400..700/10 ${grey(31, '4.8')}`), ...CODES)).toEqual([]);
    const text = reading(`spectrum 45as15 400..700/10 ${grey(31, '24.8')}`);
    expect(foundIn(text).find((one) => one.code === 'spectrum-percent')!.problem).toContain('up to 24.8 at 45as15');
  });

  it('has the wavelengths of the other takes', () => {
    const text = reading(
      `spectrum 45/0 take 1 400..700/10 ${grey(31)}`,
      `spectrum 45/0 take 2 400..700/20 ${grey(16)}`,
    );
    expect(findingsFor(text, ...CODES)).toEqual([{ code: 'spectrum-unlike', marked: '400..700/20' }]);
    expect(findingsFor(`${text}  without take 2 "other wavelengths"\n`, ...CODES)).toEqual([]);
    expect(findingsFor(text.replace('45/0 take 2', '45as15 take 2'), ...CODES)).toEqual([]);
  });

  it('is told once for a file', () => {
    const csv = 'name,take,geometry,400,410,420\nR,1,45/0,0.1,0.1,0.1\nR,2,45/0,0.1,0.1,0.1\n';
    expect(findingsFor({ 'a.pour': reading('file "r.csv"'), 'r.csv': csv }, ...CODES)).toEqual([
      { code: 'spectrum-short', marked: '"r.csv"' },
    ]);
  });
});
