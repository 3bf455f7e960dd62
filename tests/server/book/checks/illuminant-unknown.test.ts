import { describe, expect, it } from 'vitest';
import { findingsFor, fixedBy } from '../marked.ts';

describe('illuminant-unknown', () => {
  it('marks illuminants that are not known, in every line', () => {
    const text = `book "b"
  illuminants D65/10 D66/10
reading R "r"
  lab 45as15 Q/10 take 1 1 2 3
formula F "f"
  toner A 1
  expect sprayout worst under X1/10 <= 1 dE00
`;
    expect(findingsFor(text, 'illuminant-unknown').map((one) => one.marked)).toEqual(['D66/10', 'Q/10', 'X1/10']);
  });

  it('offers the one that is meant', () => {
    expect(fixedBy('book "b"\n  illuminants D64/2\n', 'illuminant-unknown')).toMatch(/illuminants D\d\d\/2\n/);
  });
});
