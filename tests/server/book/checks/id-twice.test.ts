import { describe, expect, it } from 'vitest';
import { findingsFor, foundIn } from '../marked.ts';

describe('id-twice', () => {
  it('marks every entry after the first in the order of the files', () => {
    const files = { 'b.pour': 'toner A "second"\ntoner A "third"\n', 'a.pour': 'letdown A "first" of B\n' };
    const found = foundIn(files).filter((one) => one.code === 'id-twice');
    expect(found.map((one) => [one.cell.file.uri, one.marked])).toEqual([
      ['file:///book/b.pour', 'A'],
      ['file:///book/b.pour', 'A'],
    ]);
    expect(found[0]!.related).toEqual([{ entry: 'toner:A', from: 8, to: 9, text: 'the entry that counts' }]);
  });

  it('lets the same id stand for different kinds', () => {
    expect(findingsFor('toner A "t"\nreading A "r"\nformula A "f"\n', 'id-twice')).toEqual([]);
  });

  it('takes letters composed and decomposed for one', () => {
    expect(findingsFor('toner \u00e9tui "x"\ntoner e\u0301tui "y"\n', 'id-twice')).toHaveLength(1);
  });
});
