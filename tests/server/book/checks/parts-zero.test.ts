import { describe, expect, it } from 'vitest';
import { findingsFor, fixedBy } from '../marked.ts';

describe('parts-zero', () => {
  it('marks lines of which nothing is poured', () => {
    const text = `formula F "f"
  toner A 1
  toner B 0.00
variant F/d "d"
  toner A +0
undercoat S "s"
  grey N5 toner A 0 toner B 100
batch X of F
  poured A 0 g
`;
    expect(findingsFor(text, 'parts-zero').map((one) => one.marked)).toEqual(['0.00', '+0', '0', '0 g']);
  });

  it('lets a variant set a toner to nothing', () => {
    expect(
      findingsFor('formula F "f"\n  toner A 1\n  toner B 1\nvariant F/d "d"\n  toner A = 0\n', 'parts-zero'),
    ).toEqual([]);
  });

  it('takes the line out', () => {
    expect(fixedBy('formula F "f"\n  toner A 1\n  toner B 0\n', 'parts-zero')).toBe('formula F "f"\n  toner A 1\n\n');
  });

  it('leaves parts below zero to the finding of their sign', () => {
    expect(findingsFor('formula F "f"\n  toner A 1\n  toner B -2\n', 'number-signed', 'parts-zero')).toEqual([
      { code: 'number-signed', marked: '-2' },
    ]);
  });
});

describe('formula-empty', () => {
  it('marks a formula without parts and a variant that is left with none', () => {
    const text = 'formula F "f"\nformula G "g"\n  toner A 1\nvariant G/d "d"\n  without A\n';
    expect(findingsFor(text, 'formula-empty').map((one) => one.marked)).toEqual(['F', 'G/d']);
  });

  it('does not blame a variant for a missing parent', () => {
    expect(findingsFor('variant G/d "d"\n  toner A +1\n', 'formula-empty')).toEqual([]);
  });

  it('tells a coat line that has no toners, finished or not', () => {
    const empty = (body: string) => findingsFor(`formula F "f"\n${body}`, 'coat-empty').map((one) => one.marked);
    expect(empty('  toner A 1\n  coat top coats 2\n')).toEqual(['coat top coats 2']);
    expect(empty('  coat ground\n  coat top\n  toner A 1\n')).toEqual(['coat ground']);
    expect(empty('  coat top coats 2\n  toner A\n')).toEqual([]);
    expect(empty('  coat ground\n  toner A 1\n  # none yet\n  coat top\n  toner B 2\n')).toEqual([]);
  });
});
