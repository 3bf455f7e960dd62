import { describe, expect, it } from 'vitest';
import { findingsFor } from '../marked.ts';

describe('toner-unused', () => {
  it('marks toners and let-downs that nothing names', () => {
    const text = 'toner A "a"\ntoner B "b"\nletdown L "l" of B\n  toner B 1\n';
    expect(findingsFor(text, 'toner-unused').map((one) => one.marked)).toEqual(['A', 'L']);
  });

  it('counts every kind of use, in any file', () => {
    const files = {
      'a.pour': 'toner A "a"\ntoner B "b"\ntoner C "c"\ntoner D "d"\n',
      'b.pour':
        'formula F "f"\n  toner A 1\nundercoat U "u"\n  grey N5 toner B 1\ndrawdown W "w"\n  toner C 1\nbatch X of F\n  tinted D 1 g\n',
    };
    expect(findingsFor(files, 'toner-unused')).toEqual([]);
  });

  it('does not count what a let-down says of itself', () => {
    expect(findingsFor('letdown L "l" of L\n  toner L 1\n', 'toner-unused')).toHaveLength(1);
  });
});
