import { describe, expect, it } from 'vitest';
import { findingsFor, foundIn } from '../marked.ts';

const BOOK = 'book "b"\n  timezone Europe/Dublin\n  recalibrate every 3 days\n';
const BENCH =
  'instrument BENCH "b"\n  geometry 45as15 45as45\n  calibrated 2026-10-10T08:00 at 20 C\n  calibrated 2026-10-20T08:00 at 20 C\n';
const reading = (taken: string, ...lines: string[]) =>
  `${BOOK}${BENCH}reading R "r"\n  taken ${taken} with BENCH\n${lines.map((line) => `  ${line}\n`).join('')}`;
const due = (taken: string) => findingsFor(reading(taken), 'calibration-due').map((one) => one.marked);

describe('calibration-due', () => {
  it('marks a reading taken longer after the last calibration than the book allows', () => {
    expect(due('2026-10-13T08:00')).toEqual([]);
    expect(due('2026-10-13T08:01')).toEqual(['2026-10-13T08:01']);
    // The calibration of the 20th does not count for a reading of the 19th.
    expect(due('2026-10-19T10:00')).toHaveLength(1);
    expect(due('2026-10-20T10:00')).toEqual([]);
  });

  it('marks a reading from before every calibration', () => {
    const [found] = foundIn(reading('2026-10-09T08:00')).filter((one) => one.code === 'calibration-due');
    expect(found!.problem).toContain('no calibration is recorded before it');
  });

  it('gives a date without a time the benefit of its day', () => {
    expect(due('2026-10-20')).toEqual([]);
    expect(due('2026-10-13')).toEqual([]);
    expect(due('2026-10-15')).toEqual(['2026-10-15']);
  });

  it('counts hours where the clocks change', () => {
    // Irish summer time ends on 25 October 2026: from the 22nd, 09:00, to the 25th, 08:30, are 72.5 hours.
    const text = `${BOOK}instrument B "b"\n  calibrated 2026-10-22T09:00\nreading R "r"\n  taken 2026-10-25T08:30 with B\n`;
    expect(findingsFor(text, 'calibration-due')).toHaveLength(1);
  });

  it('holds cards as well, and nothing where the book asks for no interval', () => {
    const card = `${BOOK}${BENCH}sprayout C of F\n  measured 2026-10-15T08:00 with BENCH\n`;
    expect(findingsFor(card, 'calibration-due')).toHaveLength(1);
    expect(findingsFor(card.replace('  recalibrate every 3 days\n', ''), 'calibration-due')).toEqual([]);
  });
});

describe('calibration-none', () => {
  it('is told once at the instrument', () => {
    const text = `${BOOK}instrument B "b"\nreading R "r"\n  taken 2026-10-25 with B\n`;
    expect(findingsFor(text, 'calibration-none', 'calibration-due')).toEqual([
      { code: 'calibration-none', marked: 'B' },
    ]);
    expect(findingsFor('instrument B "b"\n', 'calibration-none')).toEqual([]);
  });
});

describe('panel-warm', () => {
  const warm = (degrees: string) =>
    findingsFor(reading('2026-10-10T10:00', `surface cleared ${degrees} C`), 'panel-warm').map((one) => one.marked);

  it('marks a panel above 30 C, or more than 5 C from the calibration', () => {
    expect(warm('25')).toEqual([]);
    expect(warm('25.1')).toEqual(['25.1 C']);
    expect(warm('14')).toEqual(['14 C']);
    expect(warm('31')).toEqual(['31 C']);
  });

  it('needs no instrument for a hot one', () => {
    expect(findingsFor('reading R "r"\n  surface cleared 30 C\n', 'panel-warm')).toEqual([]);
    expect(findingsFor('reading R "r"\n  surface cleared 31 C\n', 'panel-warm')).toHaveLength(1);
  });
});

describe('geometry-unread', () => {
  it('marks an angle that the instrument does not list, once', () => {
    const text = reading('2026-10-10T10:00', 'lab 45as75 take 1 1 2 3', 'lab 45as75 take 2 1 2 3', 'lab 45as15 1 2 3');
    expect(findingsFor(text, 'geometry-unread')).toEqual([{ code: 'geometry-unread', marked: '45as75' }]);
  });
});
