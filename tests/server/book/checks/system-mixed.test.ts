import { describe, expect, it } from 'vitest';
import { findingsFor, foundIn } from '../marked.ts';

const SHELF = `system WB "w"
system SB "s"
toner A "a"
  system WB
toner B "b"
  system WB
toner C "c"
  system SB
letdown C-10 "c" of C
  toner C 10
toner N "no system"
`;

const mixed = (text: string) => findingsFor(SHELF + text, 'system-mixed').map((one) => one.marked);

describe('system-mixed', () => {
  it('marks the toner that is not of the system of the formula', () => {
    expect(mixed('formula F "f"\n  system WB\n  toner C 1\n  toner A 1\n  toner N 1\n')).toEqual(['C']);
  });

  it('holds the toners against the first where the formula names no system', () => {
    const text = 'formula F "f"\n  toner A 1\n  toner C 1\n';
    expect(mixed(text)).toEqual(['C']);
    expect(foundIn(SHELF + text).find((one) => one.code === 'system-mixed')!.problem).toBe(
      'C belongs to system SB, A to WB: the two do not mix.',
    );
  });

  it('knows a let-down by the toner that it thins', () => {
    expect(mixed('formula F "f"\n  toner A 1\n  toner C-10 1\n')).toEqual(['C-10']);
  });

  it('holds coats apart, since they are not stirred together', () => {
    expect(mixed('formula F "f"\n  coat ground\n  toner A 1\n  coat top\n  toner C 1\n')).toEqual([]);
  });

  it('is told at the line of a variant that brings the toner in, not again below it', () => {
    expect(
      mixed('formula F "f"\n  toner A 1\nvariant F/d "d"\n  toner C +1\nvariant F/d/e "e"\n  toner A +1\n'),
    ).toEqual(['C']);
  });

  it('looks at cards, let-downs and the steps of an undercoat as well', () => {
    expect(mixed('drawdown D "d"\n  toner A 1\n  toner C 1\n')).toEqual(['C']);
    expect(mixed('letdown L "l" of A\n  toner A 1\n  toner C 1\n')).toEqual(['C']);
    expect(mixed('undercoat U "u"\n  system WB\n  grey N5 toner A 1 toner C 2\n')).toEqual(['C']);
  });
});
