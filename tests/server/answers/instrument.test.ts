import { describe, expect, it } from 'vitest';
import type { InstrumentAnswer } from '../../../server/answers/instrument.ts';
import { show } from '../../../server/answers/show.ts';
import { subject } from '../../../server/answers/subject.ts';
import { instrumentText } from '../../../server/report/text/show-instrument.ts';
import { bookOf } from '../book/marked.ts';
import { entry } from './entry.ts';

function shown(shop: string[], ...lines: string[]) {
  const book = bookOf(entry('book "b"', ...shop) + entry('instrument I "five-angle"', ...lines));
  return show(book, subject(book, 'I')) as InstrumentAnswer;
}

const EVERY = ['timezone Europe/Dublin', 'recalibrate every 3 days'];

describe('an instrument', () => {
  it('is due an interval after its last calibration, in the time of the shop, also over the change of the clock', () => {
    const { due, calibrations, dueReason } = shown(EVERY, 'calibrated 2026-10-24T08:00', 'calibrated 2026-10-20T08:00');
    expect(calibrations.map((one) => one.when)).toEqual(['2026-10-20T08:00', '2026-10-24T08:00']);
    // Summer time ends in Dublin on 25 October 2026 (last Sunday of October, EU directive 2000/84/EC): 72 hours end an hour earlier.
    expect(due).toEqual({ last: '2026-10-24T08:00', everySeconds: 259200, on: '2026-10-27T07:00' });
    expect(dueReason).toBeNull();
  });

  it('has no date where the book gives no interval or there is none to count from', () => {
    expect(shown([], 'calibrated 2026-10-24')).toMatchObject({
      due: null,
      dueReason: expect.stringMatching(/interval/),
    });
    expect(shown(EVERY)).toMatchObject({ due: null, dueReason: expect.stringMatching(/no calibration/) });
  });

  it('marks calibrations after a jump of temperature', () => {
    const { calibrations } = shown(
      EVERY,
      'calibrated 2026-10-01T08:00 at 20 C',
      'calibrated 2026-10-01T13:00 at 26 C',
      'calibrated 2026-10-02T08:00',
      'calibrated 2026-10-03T08:00 at 25 C',
    );
    expect(calibrations.map(({ afterJump }) => afterJump)).toEqual([false, true, false, false]);
  });

  it('shows how the white tile has moved since it was first read', () => {
    const answer = shown(EVERY, 'tile 2026-10-13T08:00 96.00 -0.40 1.10', 'tile 2026-09-01T08:00 96.12 -0.40 1.00');
    expect(answer.drift).toEqual([
      { when: '2026-09-01T08:00', lab: [96.12, -0.4, 1], dL: 0, da: 0, db: 0, dE00: 0 },
      expect.objectContaining({ when: '2026-10-13T08:00', dL: -0.12, da: 0, db: 0.1 }),
    ]);
    const text = instrumentText(answer);
    expect(text).toMatch(/White tile, moved by 0\.1\d dE00 since 2026-09-01T08:00:/);
    expect(text).toMatch(/\+0\.10 +0\.1\d {2}\|\.+o$/m);
  });

  it('says when there is no tile, or no second reading of it', () => {
    expect(instrumentText(shown(EVERY))).toContain('No white tile is written down');
    expect(instrumentText(shown(EVERY, 'tile 2026-10-13 96 0 1'))).toContain('The white tile was read once');
  });

  it('keeps the names of its JSON', () => {
    const answer = shown(EVERY, 'calibrated 2026-10-01 at 20 C', 'tile 2026-10-01 96 0 1');
    expect(answer.kind).toBe('instrument');
    expect(Object.keys(answer).sort()).toEqual([
      'calibrations',
      'drift',
      'due',
      'dueReason',
      'geometries',
      'id',
      'kind',
      'name',
    ]);
    expect(Object.keys(answer.calibrations[0]!).sort()).toEqual(['afterJump', 'temperature', 'when']);
    expect(Object.keys(answer.drift[0]!).sort()).toEqual(['dE00', 'dL', 'da', 'db', 'lab', 'when']);
  });
});
