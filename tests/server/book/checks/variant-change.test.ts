import { describe, expect, it } from 'vitest';
import { findingsFor, fixedBy, foundIn } from '../marked.ts';

const PARENT = 'toner A "a"\ntoner B "b"\nformula F "f"\n  toner A 1.25\n  toner B 10\n';

describe('a variant', () => {
  it('may not take more than its parent has', () => {
    const text = `${PARENT}variant F/d "d"\n  toner A -1.26\n`;
    const [found] = foundIn(text).filter((one) => one.code === 'variant-takes-too-much');
    expect(found).toMatchObject({ marked: '-1.26' });
    expect(found!.problem).toContain('1.25 parts');
    expect(fixedBy(text, 'variant-takes-too-much')).toBe(`${PARENT}variant F/d "d"\n  without A\n`);
  });

  it('may take all of it', () => {
    expect(findingsFor(`${PARENT}variant F/d "d"\n  toner A -1.25\n`, 'variant-takes-too-much')).toEqual([]);
  });

  it('is held against its parent as the steps between have left it', () => {
    const text = `${PARENT}variant F/d "d"\n  toner A -1.00\nvariant F/d/e "e"\n  toner A -0.50\n`;
    expect(findingsFor(text, 'variant-takes-too-much')).toEqual([{ code: 'variant-takes-too-much', marked: '-0.50' }]);
  });

  it('may not drop or scale what the parent does not have', () => {
    const text = `${PARENT}toner C "c"\nvariant F/d "d"\n  without C\nvariant F/e "e"\n  toner C +5 %\n`;
    expect(findingsFor(text, 'variant-changes-nothing').map((one) => one.marked)).toEqual(['C', 'C']);
  });

  it('may add, replace and scale what is there', () => {
    const text = `${PARENT}toner C "c"\nvariant F/d "d"\n  toner C +5\n  toner A = 3\n  toner B -5 %\n`;
    expect(findingsFor(text, 'variant-changes-nothing', 'variant-takes-too-much')).toEqual([]);
  });
});
