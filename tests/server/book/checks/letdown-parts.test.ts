import { describe, expect, it } from 'vitest';
import { findingsFor, foundIn } from '../marked.ts';

describe('a let-down', () => {
  it('says what it is mixed from', () => {
    expect(findingsFor('toner A "a"\nletdown L "l" of A\n', 'letdown-empty')).toEqual([
      { code: 'letdown-empty', marked: 'L' },
    ]);
  });

  it('holds the toner that it thins', () => {
    const text = 'toner A "a"\ntoner B "b"\nletdown L "l" of A\n  toner B 1\n';
    expect(findingsFor(text, 'letdown-foreign')).toEqual([{ code: 'letdown-foreign', marked: 'A' }]);
  });

  it('may hold it by another let-down', () => {
    const text = 'toner A "a"\nletdown L "l" of A\n  toner A 1\nletdown M "m" of A\n  toner L 1\n';
    expect(findingsFor(text, 'letdown-foreign', 'letdown-cycle')).toEqual([]);
  });

  it('is not made of itself, over any number of steps', () => {
    const text =
      'letdown L "l" of M\n  toner M 1\nletdown M "m" of N\n  toner N 1\nletdown N "n" of L\n  toner L 1\nletdown O "o" of L\n  toner L 1\n';
    const found = foundIn(text).filter((one) => one.code === 'letdown-cycle');
    expect(found.map((one) => one.marked)).toEqual(['M', 'N', 'L']);
    expect(found[0]!.problem).toBe('Let-down L is made of M and N, and that of L again.');
    expect(findingsFor('letdown L "l" of L\n  toner L 1\n', 'letdown-cycle')).toHaveLength(1);
  });
});
