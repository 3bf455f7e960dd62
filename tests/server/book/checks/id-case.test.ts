import { describe, expect, it } from 'vitest';
import { findingsFor } from '../marked.ts';

describe('id-case', () => {
  it('marks both of two ids that differ in capitals only', () => {
    expect(findingsFor('toner GRN-2 "a"\ntoner grn-2 "b"\n', 'id-case').map((one) => one.marked)).toEqual([
      'GRN-2',
      'grn-2',
    ]);
  });

  it('is quiet about one id that is defined twice, and about other kinds', () => {
    expect(findingsFor('toner GRN-2 "a"\ntoner GRN-2 "b"\nreading grn-2 "c"\n', 'id-case')).toEqual([]);
  });
});
