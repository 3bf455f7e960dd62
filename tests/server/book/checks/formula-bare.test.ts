import { describe, expect, it } from 'vitest';
import { findingsFor } from '../marked.ts';

const CODES = ['target-missing', 'undercoat-missing', 'standard-missing'];

describe('a formula', () => {
  it('is told what it lacks', () => {
    expect(
      findingsFor('formula F "f"\n  toner A 1\n', ...CODES)
        .map((one) => one.code)
        .sort(),
    ).toEqual([...CODES].sort());
  });

  it('lacks nothing when all is written, even where it names what is not there', () => {
    const text = 'formula F "f"\n  target weight 250 g\n  undercoat SEAL grey N5\n  standard R\n  toner A 1\n';
    expect(findingsFor(text, ...CODES)).toEqual([]);
  });

  it('is not told again at its variants', () => {
    expect(findingsFor('formula F "f"\n  toner A 1\nvariant F/d "d"\n  toner A +1\n', ...CODES)).toHaveLength(3);
  });

  it('is let rest when it is withdrawn', () => {
    expect(findingsFor('formula F "f"\n  status withdrawn\n  toner A 1\n', ...CODES)).toEqual([]);
  });
});
