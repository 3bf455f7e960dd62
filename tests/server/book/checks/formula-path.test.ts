import { describe, expect, it } from 'vitest';
import { findingsFor } from '../marked.ts';

describe('formula-path', () => {
  it('marks a formula that is named like a variant', () => {
    expect(findingsFor('formula SAM/dark "d"\n  toner A 1\n', 'formula-path')).toEqual([
      { code: 'formula-path', marked: 'SAM/dark' },
    ]);
  });

  it('is quiet about formulas and variants with ids of their own', () => {
    expect(findingsFor('formula SAM "s"\n  toner A 1\nvariant SAM/d "d"\n  toner A +1\n', 'formula-path')).toEqual([]);
  });
});
