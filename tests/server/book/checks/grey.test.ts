import { describe, expect, it } from 'vitest';
import { findingsFor, fixedBy, foundIn } from '../marked.ts';

const SEAL =
  'undercoat SEAL "s"\n  grey N9.5 toner W 100\n  grey N5 toner W 71.5 toner K 28.5\n  grey N2 toner K 100\n';

describe('a grey', () => {
  it('lies on the Munsell scale or is a lightness', () => {
    const text = `${SEAL}formula F "f"\n  undercoat SEAL grey N51\nsprayout C of F\n  over SEAL grey L* 120\n`;
    expect(findingsFor(text, 'grey-off-scale').map((one) => one.marked)).toEqual(['N51', 'L* 120']);
    expect(fixedBy(text, 'grey-off-scale')).toContain('undercoat SEAL grey L* 51\n');
  });

  it('lies between the ends of the undercoat', () => {
    const [found] = foundIn(`${SEAL}formula F "f"\n  undercoat SEAL grey N1.5\n`).filter(
      (one) => one.code === 'grey-out-of-reach',
    );
    expect(found).toMatchObject({ marked: 'N1.5' });
    expect(found!.problem).toBe('SEAL cannot be mixed to N1.5: it reaches from N2 to N9.5.');
  });

  it('may be an end, by either scale', () => {
    // N5 is L* 51.004 by ASTM D1535, so L* 20.3 lies above N2 (L* 20.24) and L* 20.2 below it.
    const at = (grey: string) =>
      findingsFor(`${SEAL}formula F "f"\n  undercoat SEAL grey ${grey}\n`, 'grey-out-of-reach');
    expect(at('N9.5')).toEqual([]);
    expect(at('N2')).toEqual([]);
    expect(at('L* 20.3')).toEqual([]);
    expect(at('L* 20.2')).toHaveLength(1);
    expect(at('L* 95.1')).toHaveLength(1);
  });
});

describe('an undercoat', () => {
  it('has two ends of one toner each', () => {
    expect(findingsFor(SEAL, 'grey-ends')).toEqual([]);
    expect(findingsFor('undercoat U "u"\n  grey N5 toner W 1 toner K 1\n', 'grey-ends')).toEqual([
      { code: 'grey-ends', marked: 'U' },
    ]);
    expect(findingsFor('undercoat U "u"\n  grey N9 toner W 1\n  grey N5 toner W 2\n', 'grey-ends')).toHaveLength(1);
  });

  it('gets darker with more of the dark toner', () => {
    const text = `${SEAL}  grey N6 toner W 60 toner K 40\n`;
    expect(findingsFor(text, 'grey-order')).toEqual([{ code: 'grey-order', marked: 'N5' }]);
    expect(findingsFor(SEAL, 'grey-order')).toEqual([]);
  });
});
