import { describe, expect, it } from 'vitest';
import { readReadings } from '../../../server/formats/detect.ts';
import type { ImportResult } from '../../../server/formats/imported.ts';
import { bytes, CGATS, cgatsTable, latin1, read, utf16 } from './samples.ts';

const errors = ({ findings }: ImportResult) => findings.filter(({ severity }) => severity === 'error');
const said = ({ findings }: ImportResult) => findings.map(({ message }) => message).join('\n');

describe('CGATS.17', () => {
  it('reads the angles of one name as one reading, with what the header says', () => {
    const { readings, findings } = read(CGATS, 'sam-door.cgats');
    expect(findings).toEqual([]);
    expect(readings).toEqual([
      {
        name: 'SAM door',
        taken: '2026-10-14',
        instrument: 'bench multi-angle',
        values: [
          {
            geometry: '45as15',
            illuminant: 'D65',
            observer: '10',
            lab: [61.92, -18.4, 9.81],
            place: { line: 14, column: 1 },
          },
          {
            geometry: '45as110',
            illuminant: 'D65',
            observer: '10',
            lab: [24.1, -9.75, 3.02],
            place: { line: 15, column: 1 },
          },
        ],
      },
    ]);
  });

  it('takes tabs between cells, and then names with blanks need no quotes', () => {
    const tabs = cgatsTable('SAMPLE_NAME\tGEOMETRY\tLAB_L\tLAB_A\tLAB_B', [
      'SAM left door\t45/0\t50\t1\t2\t',
      'SAM hood\t45/0\t51\t1\t2',
    ]);
    const result = read(tabs, 'x.txt');
    expect(errors(result)).toEqual([]);
    expect(result.readings.map(({ name }) => name)).toEqual(['SAM left door', 'SAM hood']);
  });

  it('takes quoted names, with a doubled quote inside, and comments between rows', () => {
    const text = cgatsTable('SAMPLE_ID SAMPLE_NAME LAB_L LAB_A LAB_B', [
      '1 "panel 5"" wide" 50 1 2',
      '# lifted',
      '2 hood# 51 1 2',
    ]).replace('SETS 3', 'SETS 2');
    expect(read(text, 'x.cgats').readings.map(({ name }) => name)).toEqual(['panel 5" wide', 'hood#']);
  });

  it.each([
    ['a point', '1 0.5 1.25 -2', [0.5, 1.25, -2]],
    ['an exponent', '1 5.0E-01 1.25e0 -2', [0.5, 1.25, -2]],
    ['no zero before the point', '1 .5 +1.25 -2.', [0.5, 1.25, -2]],
    ['a comma throughout', '1 0,5 1,25 -2', [0.5, 1.25, -2]],
  ])('takes numbers with %s', (_, row, lab) => {
    const result = read(cgatsTable('SAMPLE_ID LAB_L LAB_A LAB_B', [row]), 'x.cgats');
    expect(result.readings[0]?.values[0]?.lab).toEqual(lab);
  });

  it('says that a decimal comma was read, and refuses it beside a point', () => {
    const comma = read(cgatsTable('SAMPLE_ID LAB_L LAB_A LAB_B', ['1 50,5 1 2']), 'x.cgats');
    expect(said(comma)).toContain('decimal comma');
    const mixed = read(cgatsTable('SAMPLE_ID LAB_L LAB_A LAB_B', ['1 50.5 1 2', '2 50,5 1 2']), 'x.cgats');
    expect(mixed.readings).toEqual([]);
    expect(errors(mixed)[0]).toMatchObject({ line: 8, column: 3 });
  });

  it('reads several tables, each with its own header, into one reading', () => {
    const table = (angle: string, row: string) =>
      cgatsTable('SAMPLE_ID LAB_L LAB_A LAB_B', [row], [`GEOMETRY "${angle}"`]).replace('CGATS.17\n', '');
    const text = `CGATS.17\nKEYWORD "GEOMETRY"\nCREATED "2026-10-14T09:20"\n${table('45as15', 'SAM 61 1 2')}\n${table('45:65', 'SAM 24 1 2')}`;
    const { readings } = read(text, 'x.cgats');
    expect(readings).toHaveLength(1);
    expect(readings[0]).toMatchObject({ taken: '2026-10-14T09:20', name: 'SAM' });
    expect(readings[0]!.values.map(({ geometry }) => geometry)).toEqual(['45as15', '45as110']);
  });

  it('lets own keywords pass when they are declared, and tells of others', () => {
    const declared = cgatsTable(
      'SAMPLE_ID LAB_L LAB_A LAB_B',
      ['1 50 1 2'],
      ['KEYWORD "BOOTH_LIGHT"', 'BOOTH_LIGHT "on"'],
    );
    expect(said(read(declared, 'x'))).not.toContain('BOOTH_LIGHT');
    expect(said(read(declared.replace(/KEYWORD.*\n/, ''), 'x'))).toContain('BOOTH_LIGHT');
  });

  it('reads TAKE, GEOMETRY, ILLUMINANT and OBSERVER as fields', () => {
    const text = cgatsTable('SAMPLE_ID TAKE GEOMETRY ILLUMINANT OBSERVER LAB_L LAB_A LAB_B', [
      '1 2 45:-30 FL11 2 50 1 2',
    ]);
    expect(read(text, 'x').readings[0]!.values[0]).toMatchObject({
      take: 2,
      geometry: '45as15',
      illuminant: 'F11',
      observer: '2',
    });
  });

  it('numbers takes in the order of the file where no field says them', () => {
    const text = cgatsTable('SAMPLE_ID SAMPLE_NAME LAB_L LAB_A LAB_B', [
      '1 SAM 50 1 2',
      '2 SAM 51 1 2',
      '3 HOOD 40 1 2',
    ]);
    const result = read(text, 'x');
    expect(result.readings.map(({ values }) => values.map(({ take }) => take))).toEqual([[1, 2], [undefined]]);
    expect(said(result)).toContain('numbered in the order of the file');
  });

  describe('spectra', () => {
    const values = '3.11 3.25 3.41 90';
    it.each([
      ['SPECTRAL_400 SPECTRAL_410 SPECTRAL_420 SPECTRAL_430', values],
      ['SPECTRAL_NM400 SPECTRAL_NM410 SPECTRAL_NM420 SPECTRAL_NM430', values],
      ['SPEC_400 SPEC_410 SPEC_420 SPEC_430', values],
      [
        'SPECTRAL_NM SPECTRAL_PCT SPECTRAL_NM SPECTRAL_PCT SPECTRAL_NM SPECTRAL_PCT SPECTRAL_NM SPECTRAL_PCT',
        '400 3.11 410 3.25 420 3.41 430 90',
      ],
      [
        'SPECTRAL_NM SPECTRAL_DEC SPECTRAL_NM SPECTRAL_DEC SPECTRAL_NM SPECTRAL_DEC SPECTRAL_NM SPECTRAL_DEC',
        '400 0.0311 410 0.0325 420 0.0341 430 0.90',
      ],
    ])('in %s', (fields, row) => {
      const { readings } = read(cgatsTable(`SAMPLE_ID ${fields}`, [`1 ${row}`]), 'x.cgats');
      const { spectrum } = readings[0]!.values[0]!;
      expect(spectrum).toMatchObject({ start: 400, step: 10 });
      for (const [at, value] of [0.0311, 0.0325, 0.0341, 0.9].entries())
        expect(spectrum!.values[at]).toBeCloseTo(value, 12);
    });

    it('in one pair a row', () => {
      const rows = ['1 400 3.11', '1 410 3.25', '1 420 3.41', '2 400 5', '2 410 6'];
      const { readings } = read(cgatsTable('SAMPLE_ID SPECTRAL_NM SPECTRAL_PCT', rows), 'x.cgats');
      expect(readings.map(({ values }) => values[0]!.spectrum!.values.length)).toEqual([3, 2]);
    });

    it('over several lines a row', () => {
      const rows = ['1 0.1 0.2', '0.3 0.4', '2 0.1 0.2', '0.3 0.5'];
      const text = cgatsTable('SAMPLE_ID SPECTRAL_400 SPECTRAL_410 SPECTRAL_420 SPECTRAL_430', rows).replace(
        'SETS 4',
        'SETS 2',
      );
      const result = read(text, 'x.cgats');
      expect(result.readings).toHaveLength(2);
      expect(said(result)).toContain('broken over 2 lines');
    });

    const two = (row: string, lab = '') =>
      cgatsTable(`SAMPLE_ID SPECTRAL_540 SPECTRAL_550 ${lab && 'LAB_L LAB_A LAB_B'}`, [`1 ${row} ${lab}`]);
    it.each([
      ['fractions by their size', two('0.5 0.6'), undefined, 0.5],
      ['per cent by their size', two('50 60'), undefined, 0.5],
      ['per cent of a black panel by the L* beside it', two('0.9 1.0', '8.5 0 0'), undefined, 0.009],
      ['what was said', two('0.9 1.0'), 'per cent' as const, 0.009],
      [
        'what the header says',
        two('0.9 1.0').replace('BEGIN_DATA_FORMAT', 'SPECTRAL_NORM "100.0"\nBEGIN_DATA_FORMAT'),
        undefined,
        0.009,
      ],
    ])('scaled as %s, and it is said', (_, text, scale, first) => {
      const result = read(text, 'x.cgats', scale ? { scale } : {});
      expect(result.readings[0]!.values[0]!.spectrum!.values[0]).toBeCloseTo(first, 12);
      expect(said(result)).toMatch(/Reflectances were read as (fractions|per cent)/);
    });

    it('asks for the scale where the figures do not tell', () => {
      const result = read(two('0.9 2.0'), 'x.cgats');
      expect(result.readings).toEqual([]);
      expect(errors(result)[0]).toMatchObject({ line: 7, column: 7 });
      expect(said(result)).toContain('say which scale');
    });
  });

  it('turns LCh and XYZ into Lab', () => {
    const lch = read(cgatsTable('SAMPLE_ID LCH_L LCH_C LCH_H', ['1 50 10 90']), 'x').readings[0]!.values[0]!.lab!;
    expect(lch).toEqual([50, 0, 10]);
    const light = ['ILLUMINANT "D65"', 'OBSERVER "10"'];
    // The white point D65/10 of CIE 015 (94.811, 100, 107.304) is L* 100 without chroma.
    const xyz = read(cgatsTable('SAMPLE_ID XYZ_X XYZ_Y XYZ_Z', ['1 94.811 100 107.304'], light), 'x').readings[0]!
      .values[0]!.lab!;
    for (const [at, value] of [100, 0, 0].entries()) expect(Math.abs(xyz[at]! - value)).toBeLessThan(0.01);
  });

  it('warns of too small a count, and refuses too large a one: then rows are lost', () => {
    const low = read(CGATS.replace('SETS 2', 'SETS 1'), 'x');
    expect(low.readings).toHaveLength(1);
    expect(low.findings).toMatchObject([{ severity: 'warning', line: 12, column: 16 }]);
    expect(read(CGATS.replace('SETS 2', 'SETS 3'), 'x')).toMatchObject({
      readings: [],
      findings: [{ severity: 'error', line: 12 }],
    });
    const none = read(CGATS.replace(/NUMBER_OF_SETS.*\n/, ''), 'x');
    expect(none.readings).toHaveLength(1);
    expect(none.findings).toMatchObject([{ severity: 'info' }]);
  });

  describe('encodings', () => {
    const text = CGATS.replaceAll('SAM door', 'Tür – Möwe'.replace('–', '-'));
    it.each([
      ['UTF-8', bytes(text)],
      ['UTF-8 with a byte order mark', bytes(`\ufeff${text}`)],
      ['UTF-16 LE', utf16(text, 'le')],
      ['UTF-16 BE', utf16(text, 'be')],
      ['CRLF', bytes(text.replaceAll('\n', '\r\n'))],
      ['CR', bytes(text.replaceAll('\n', '\r'))],
      ['a closing Control-Z', bytes(`${text}\u001a`)],
    ])('%s', (_, file) => {
      const { readings, findings } = readReadings(file, 'x.cgats');
      expect(findings).toEqual([]);
      expect(readings[0]).toMatchObject({
        name: 'Tür - Möwe',
        values: [{ place: { line: 14 } }, { place: { line: 15 } }],
      });
    });

    it('Latin-1, with a warning at its first letter', () => {
      const { readings, findings } = readReadings(latin1(text), 'x.cgats');
      expect(readings[0]!.name).toBe('Tür - Möwe');
      expect(findings).toMatchObject([{ severity: 'warning', line: 14, column: 5 }]);
    });
  });
});
