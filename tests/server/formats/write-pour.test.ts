import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { cut } from '../../../grammar/cutter.ts';
import { parseEntry } from '../../../grammar/parse.ts';
import type { ImportedReading } from '../../../server/formats/imported.ts';
import { pourIds, pourOfReading, pourOfReadings } from '../../../server/formats/write-pour.ts';
import { CGATS, CXF, read } from './samples.ts';

const place = { line: 1, column: 1 };

describe('readings as .pour entries', () => {
  it('writes angles, takes and the instrument that the book knows', () => {
    const { readings } = read(
      CGATS.replace('GEOMETRY LAB', 'GEOMETRY TAKE LAB')
        .replace('FIELDS 6', 'FIELDS 7')
        .replace('45as15 ', '45as15 1 ')
        .replace('45as110 ', '45as110 2 '),
      'x',
    );
    const options = {
      viewing: 'D65/10',
      instrument: (named: string) => (named === 'bench multi-angle' ? 'BENCH-2' : undefined),
    };
    expect(pourOfReadings(readings, options)).toBe(`reading SAM-door "SAM door"
  taken 2026-10-14 with BENCH-2
  lab 45as15 take 1 61.92 -18.4 9.81
  lab 45as110 take 2 24.1 -9.75 3.02
`);
  });

  it('writes the light where it is not the main one of the book, the bandpass, and an instrument that it lacks as a remark', () => {
    const { readings } = read(CXF, 'x');
    expect(pourOfReading(readings[0]!, 'SAM')).toBe(`reading SAM "SAM door"
  taken 2026-10-14T09:20Z  # with bench multi-angle
  bandpass uncorrected
  lab 45as15 D65/10 61.92 -18.4 9.81
  spectrum 45as15 400..430/10  0.0311 0.0325 0.0341 0.0366
  lab 45as110 D65/10 24.1 -9.75 3.02
`);
  });

  it('wraps a list after ten numbers, each further line with a number first', () => {
    const values = Float64Array.from({ length: 31 }, (_, at) => (at * 3.11) / 100);
    const text = pourOfReading(
      { name: 'S', values: [{ geometry: '45/0', spectrum: { start: 400, step: 10, values }, place }] },
      'S',
    );
    const lines = text.trimEnd().split('\n').slice(1);
    expect(lines).toHaveLength(4);
    expect(lines[0]).toMatch(/^ {2}spectrum 45\/0 400\.\.700\/10 {2}0 0\.0311 0\.0622/);
    for (const line of lines.slice(1)) expect(line).toMatch(/^ {4}\d/);
    expect(
      lines
        .flatMap((line) =>
          line
            .replace(/^.*\/10 /, '')
            .trim()
            .split(' '),
        )
        .map(Number),
    ).toEqual([...values].map((value) => Number(value.toFixed(7))));
  });

  it('is what the grammar reads without a finding, a negative reflectance at a line start included', () => {
    const values = Float64Array.from({ length: 31 }, (_, at) => (at === 10 ? -0.0004 : at / 40));
    const dark: ImportedReading = {
      name: 'W',
      values: [{ geometry: 'd/8', take: 2, spectrum: { start: 400, step: 10, values }, place }],
    };
    const text = pourOfReadings([...read(CXF, 'x').readings, ...read(CGATS, 'x').readings, dark]);
    expect(text).toContain('\n    -0.0004 ');
    const { slices } = cut(text);
    expect(slices).toHaveLength(3);
    expect(slices.flatMap((slice) => parseEntry(slice).findings)).toEqual([]);
  });

  it('escapes names and keeps them on one line', () => {
    const text = pourOfReading(
      { name: 'panel 5" \\ wide\n  toner X 1', values: [{ geometry: '45/0', lab: [1e-9, -1e-9, 100], place }] },
      'P',
    );
    expect(text).toBe('reading P "panel 5\\" \\\\ wide toner X 1"\n  lab 45/0 0 0 100\n');
  });

  it('takes the angle from the person who imports where the file does not say it', () => {
    const reading: ImportedReading = { name: 'S', values: [{ lab: [50, 1, 2], place }] };
    expect(pourOfReading(reading, 'S', { geometry: '45/0' })).toContain('  lab 45/0 50 1 2\n');
    expect(pourOfReading(reading, 'S')).toContain('  lab 50 1 2\n');
  });
});

describe('ids made from names', () => {
  it('keeps letters and digits, and joins the rest', () => {
    const id = pourIds();
    expect(['SAM door', 'Tür (links)', '  --x..y--', '***', '', '41.20'].map(id)).toEqual([
      'SAM-door',
      'Tür-links',
      'x.y',
      'reading',
      'reading-2',
      '41.20-r',
    ]);
  });

  it('avoids ids that are taken, also in other case', () => {
    const id = pourIds(['sam-DOOR', 'SAM-door-2']);
    expect(id('SAM door')).toBe('SAM-door-3');
  });

  it('gives legal and unlike ids for any names', () => {
    fc.assert(
      fc.property(fc.array(fc.string({ unit: 'grapheme', maxLength: 80 }), { maxLength: 30 }), (names) => {
        const ids = names.map(pourIds());
        expect(ids).toHaveLength(names.length);
        const made = pourIds();
        const unlike = names.map(made);
        expect(new Set(unlike.map((one) => one.normalize('NFC').toLowerCase())).size).toBe(names.length);
        for (const one of unlike) {
          expect(one).toMatch(/^[\p{L}\d][\p{L}\p{M}\d_.-]*$/u);
          expect(one).not.toMatch(/\.\.|^\d+\.\d+$/);
        }
      }),
    );
  });
});
