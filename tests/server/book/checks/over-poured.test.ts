import { describe, expect, it } from 'vitest';
import { entry } from '../../answers/entry.ts';
import { fixedBy, foundIn } from '../marked.ts';

const BOOK =
  entry('book "b"', 'scale 0.1 g', 'weighing within 5 %') +
  entry('formula F "f"', 'toner GRN-2 41.20', 'toner ALU-C 21.50', 'toner BLK-1 1.65', 'toner BND-0 34.95');
const OVER = `${BOOK}${entry('batch B of F', 'make 80 g', 'poured GRN-2 33.2 g', 'poured ALU-C 18.0 g # slipped')}\n`;

const over = (text: string) => foundIn(text).filter((one) => one.code === 'over-poured');
const batchOf = (text: string) => text.slice(text.indexOf('batch B'));

describe('an over-pour', () => {
  it('is told at its pour, with every way out and its new total', () => {
    const [found] = over(OVER);
    expect(found).toMatchObject({ marked: '18.0 g', severity: 'info' });
    expect(found!.problem).toContain('0.7 g too much, 4.0 % of its pour');
    expect(found!.fixes!.map((fix) => fix.title)).toEqual([
      'Leave it: 80.7 g',
      'Make 83.1 g, so that the ratios hold',
      'Stir, take 1.9 g out and finish: 80.0 g',
      'Start again: 80.0 g, 51.2 g are lost',
    ]);
  });

  it('warns beyond the error that the shop accepts, and is quiet about one step of the scale', () => {
    expect(over(OVER.replace('18.0 g', '18.3 g'))[0]).toMatchObject({ severity: 'warning' });
    expect(over(OVER.replace('18.0 g', '17.4 g'))).toEqual([]);
  });

  it.each([0, 1, 2, 3])('is at rest after way out %i', (way) => {
    expect(over(fixedBy(OVER, 'over-poured', way))).toEqual([]);
  });

  it('leaves a record behind', () => {
    expect(batchOf(fixedBy(OVER, 'over-poured', 0))).toBe(
      `${entry('batch B of F', 'make 80 g', 'poured GRN-2 33.2 g', 'poured ALU-C 18.0 g # slipped', 'accepted ALU-C "0.7 g over, left as it is"')}\n`,
    );
    expect(batchOf(fixedBy(OVER, 'over-poured', 1))).toBe(
      `${entry('batch B of F', 'make 83.1 g', 'poured GRN-2 33.2 g', 'poured ALU-C 18.0 g # slipped', 'note "ALU-C 0.7 g over: made 83.1 g instead of 80.0 g."')}\n`,
    );
    expect(batchOf(fixedBy(OVER, 'over-poured', 2))).toContain('removed 1.9 g\n  note');
    expect(batchOf(fixedBy(OVER, 'over-poured', 3))).toBe(
      `${entry('batch B of F', 'make 80 g', 'note "ALU-C 0.7 g over: 51.2 g thrown away, started again."')}\n`,
    );
  });

  it('keeps CRLF', () => {
    expect(fixedBy(OVER.replaceAll('\n', '\r\n'), 'over-poured', 2)).not.toMatch(/[^\r]\n/);
  });

  it('offers no way that hardener in the cup leaves no time for, and says why', () => {
    const hard =
      entry('system SB "s"', 'potlife 2 h', 'hardener HRD 50 % of paint by weight') +
      entry('toner HRD "h"', 'kind hardener') +
      entry('formula H "h"', 'system SB', 'toner A 50', 'toner B 50');
    const [found] = over(
      `${hard}${entry('batch B of H', 'make 100 g', 'mixed 2026-10-02T08:00', 'poured A 60 g', 'poured HRD 5 g', 'weighed 65 g at 2026-10-02T11:00')}`,
    );
    expect(found!.fixes!.map((fix) => fix.title)).toEqual(['Start again: 100.0 g, 60.0 g are lost']);
    expect(found!.remedy).toBe(
      'Hardener is in the cup: the pot life is over, what is in the cup sets. Start again: 100.0 g, 60.0 g are lost.',
    );
  });
});
