import { describe, expect, it } from 'vitest';
import { findingsFor, fixedBy } from '../marked.ts';

const BOOK = 'book "b"\n  scale 0.1 g\nscale FINE "f"\n  readability 0.01 g\n';

describe('weight-fine', () => {
  it('marks weights that the scale cannot show', () => {
    const text = `${BOOK}formula F "f"\n  target weight 250.25 g\nbatch B of F\n  make 0.08005 kg\n  poured A 33.21 g\n  poured A scale 50.55 g\n  tinted A 0.30 g\n`;
    expect(findingsFor(text, 'weight-fine').map((one) => one.marked)).toEqual([
      '250.25 g',
      '0.08005 kg',
      '33.21 g',
      '50.55 g',
    ]);
  });

  it('holds a batch against the scale that it names', () => {
    expect(findingsFor(`${BOOK}batch B of F\n  scale FINE\n  poured A 33.21 g\n`, 'weight-fine')).toEqual([]);
  });

  it('writes the nearest weight where one is wanted, and leaves a record alone', () => {
    const text = `${BOOK}formula F "f"\n  target weight 250.25 g\n`;
    expect(fixedBy(text, 'weight-fine')).toBe(`${BOOK}formula F "f"\n  target weight 250.3 g\n`);
    expect(() => fixedBy(`${BOOK}batch B of F\n  poured A 1.23 g\n`, 'weight-fine')).toThrow();
  });

  it('does not hold pounds to the step', () => {
    expect(findingsFor(`${BOOK}formula F "f"\n  target weight 1 lb\n`, 'weight-fine')).toEqual([]);
  });
});
