import { describe, expect, it } from 'vitest';
import { findingsFor, foundIn } from '../marked.ts';

const formula = (id: string, ...lines: string[]) =>
  [`formula ${id} "x"`, ...lines, 'toner A 1'].join('\n  ').concat('\n');
const marked = (text: string) => findingsFor(text, 'code-twice').map((one) => one.marked);

describe('code-twice', () => {
  it('marks formulas of one maker, code and overlapping years', () => {
    const text =
      formula('F', 'maker Marram', 'code kelp', 'years 2017..2021') +
      formula('G', 'maker Marram', 'code Kelp', 'years 2021..2023');
    expect(marked(text)).toEqual(['kelp', 'Kelp']);
    expect(foundIn(text).find((one) => one.code === 'code-twice')!.problem).toBe(
      'Marram kelp (2017 to 2021) is also the colour of G.',
    );
  });

  it('lets years apart, other makers, systems and withdrawn formulas stand', () => {
    const one = formula('F', 'maker Marram', 'code kelp', 'years 2017..2020', 'system WB');
    expect(marked(one + formula('G', 'maker Marram', 'code kelp', 'years 2021..2023'))).toEqual([]);
    expect(marked(one + formula('G', 'maker Dulse', 'code kelp', 'years 2017..2020'))).toEqual([]);
    expect(marked(one + formula('G', 'maker Marram', 'code kelp', 'system SB'))).toEqual([]);
    expect(marked(one + formula('G', 'maker Marram', 'code kelp', 'status withdrawn'))).toEqual([]);
  });

  it('takes missing years for all years', () => {
    const text =
      formula('F', 'maker Marram', 'code kelp', 'years 2017..2020') + formula('G', 'maker Marram', 'code kelp');
    expect(marked(text)).toHaveLength(2);
  });

  it('does not hold a formula against its variants, nor variants against each other', () => {
    const text = `${formula('F', 'maker Marram', 'code kelp')}variant F/a "a"\n  code kelp\n  toner A +1\nvariant F/b "b"\n  toner A +2\n`;
    expect(marked(text)).toEqual([]);
  });
});
