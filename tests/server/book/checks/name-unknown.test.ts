import { describe, expect, it } from 'vitest';
import { findingsFor, fixedBy, foundIn } from '../marked.ts';

describe('name-unknown', () => {
  it('marks each name that nothing defines, of every kind', () => {
    const text = `reading R "door"
  taken 2026-10-14 with BENCH-9
formula F "one"
  system XX
  undercoat SEAL grey N5
  standard SAM
  toner GRN-2 1
batch B of G
  poured BLK-1 1 g
`;
    expect(findingsFor(text, 'name-unknown').map((one) => one.marked)).toEqual([
      'BENCH-9',
      'XX',
      'SEAL',
      'SAM',
      'GRN-2',
      'G',
      'BLK-1',
    ]);
  });

  it('finds the name in another file, and a let-down where a toner is named', () => {
    const files = {
      'a.pour': 'formula F "one"\n  toner GRN-2 1\n  toner GRN-2-10 1\n',
      'b.pour': 'toner GRN-2 "g"\nletdown GRN-2-10 "g" of GRN-2\n  toner GRN-2 1\n',
    };
    expect(findingsFor(files, 'name-unknown')).toEqual([]);
  });

  it('offers the nearest name of that kind', () => {
    const text = 'toner GRN-2 "g"\nformula F "one"\n  toner GRN-3 1\n';
    expect(fixedBy(text, 'name-unknown')).toBe('toner GRN-2 "g"\nformula F "one"\n  toner GRN-2 1\n');
  });

  it('tells the missing parent of a variant at the part of its id that names it', () => {
    const [found] = foundIn('variant SAM/dark "d"\n  toner X +1\n').filter((one) => one.code === 'name-unknown');
    expect(found).toMatchObject({ marked: 'SAM' });
    expect(found!.problem).toContain('parent');
  });

  it('waits until the whole book is there', async () => {
    const { Book } = await import('../../../../server/book/book.ts');
    const { findingsOfFile } = await import('../../../../server/book/findings.ts');
    const book = new Book();
    book.setFile('file:///book/a.pour', 'formula F "one"\n  toner GRN-2 1\n');
    const codes = () => findingsOfFile(book, 'file:///book/a.pour').map((one) => one.code);
    expect(codes()).not.toContain('name-unknown');
    book.loaded.set(true);
    expect(codes()).toContain('name-unknown');
  });
});
