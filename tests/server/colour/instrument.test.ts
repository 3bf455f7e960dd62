import { describe, expect, it } from 'vitest';
import { calibrationDue, tileDrift } from '../../../server/colour/instrument.ts';

const hour = 3_600_000;
const calibrations = [
  { at: 100 * hour, temperature: 20, tile: [96, -0.3, 1.1] as const },
  { at: 30 * hour, temperature: 24, tile: [96.1, -0.3, 1.0] as const },
];

describe('a calibration', () => {
  it('is due after the interval, counted from the last one before the reading', () => {
    expect(calibrationDue(calibrations, { every: 8 * hour }, 107 * hour)).toMatchObject({
      due: false,
      last: { at: 100 * hour },
    });
    expect(calibrationDue(calibrations, { every: 8 * hour }, 109 * hour)).toMatchObject({
      due: true,
      why: 'interval',
      text: '9 hours after the last calibration, due every 8 hours',
    });
    expect(calibrationDue(calibrations, { every: 72 * hour }, 99 * hour)).toMatchObject({
      due: false,
      last: { at: 30 * hour },
    });
  });

  it('is due when none came before', () => {
    expect(calibrationDue(calibrations, { every: 8 * hour }, 29 * hour)).toMatchObject({ due: true, why: 'never' });
  });

  it('is due after a jump of temperature, where both are known', () => {
    const rule = { every: 8 * hour };
    expect(calibrationDue(calibrations, rule, 101 * hour, 26)).toMatchObject({ due: true, why: 'temperature' });
    expect(calibrationDue(calibrations, rule, 101 * hour, 25)).toMatchObject({ due: false });
    expect(calibrationDue(calibrations, { ...rule, temperatureJump: 2 }, 101 * hour, 25)).toMatchObject({ due: true });
    expect(calibrationDue([{ at: 0 }], rule, hour, 35)).toMatchObject({ due: false });
  });
});

describe('the white tile', () => {
  it('drifts from its first reading, in the order of time', () => {
    const drift = tileDrift([{ at: 200 * hour }, ...calibrations]);
    expect(drift.map((d) => d.at / hour)).toEqual([30, 100]);
    expect(drift[0]).toMatchObject({ dE00: 0, dL: 0 });
    expect(drift[1]!.dL).toBeCloseTo(-0.1, 9);
    expect(drift[1]!.dE00).toBeGreaterThan(0.05);
    expect(tileDrift([{ at: 0 }])).toEqual([]);
  });
});
