import { describe, expect, it } from 'vitest';
import { findingsFor } from '../marked.ts';

const used = (text: string) => findingsFor(text, 'withdrawn-used', 'trial-mixed');
const formula = (status: string) => `formula F "f"\n  status ${status}\n  toner A 1\n`;

describe('a withdrawn formula', () => {
  const withdrawn = formula('withdrawn by RO on 2026-10-20');

  it('is not mixed, nor derived from', () => {
    expect(used(`${withdrawn}batch B of F\n  make 80 g\n`)).toEqual([{ code: 'withdrawn-used', marked: 'F' }]);
    expect(used(`${withdrawn}variant F/d "d"\n  toner A +1\n`)).toEqual([{ code: 'withdrawn-used', marked: 'F/d' }]);
    expect(used(`${withdrawn}variant F/d "d"\n  status withdrawn\n  toner A +1\n`)).toEqual([]);
  });

  it('is no undercoat of a colour that is still poured', () => {
    const over = (status: string) => `${withdrawn}formula G "g"\n${status}  undercoat formula F\n  toner A 1\n`;
    expect(used(over(''))).toEqual([{ code: 'withdrawn-used', marked: 'F' }]);
    expect(used(over('  status withdrawn\n'))).toEqual([]);
    expect(used(over('').replace('status withdrawn by RO on 2026-10-20', 'status approved'))).toEqual([]);
  });

  it('may have been mixed before that day', () => {
    expect(used(`${withdrawn}batch B of F\n  mixed 2026-10-19T10:00\n`)).toEqual([]);
    expect(used(`${withdrawn}batch B of F\n  mixed 2026-10-21T10:00\n`)).toHaveLength(1);
  });
});

describe('a formula on trial', () => {
  it('is mixed only where the batch says so', () => {
    const trial = formula('trial');
    expect(used(`${trial}batch B of F\n  make 80 g\n`)).toEqual([{ code: 'trial-mixed', marked: 'F' }]);
    expect(used(`${trial}batch B of F\n  make 80 g\n  note "Trial on the test panel"\n`)).toEqual([]);
    expect(used(`${trial}batch B of F\n  make 80 g\n  note "industrial"\n`)).toHaveLength(1);
  });

  it('may have variants, and approved formulas may be mixed', () => {
    expect(used(`${formula('trial')}variant F/d "d"\n  toner A +1\n`)).toEqual([]);
    expect(used(`${formula('approved')}batch B of F\n  make 80 g\n`)).toEqual([]);
  });
});
