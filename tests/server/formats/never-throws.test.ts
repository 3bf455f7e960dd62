/** Whatever the bytes: no exception, every finding has a place inside of the file, and an error leaves no reading. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readReadings } from '../../../server/formats/detect.ts';
import { pourOfReadings } from '../../../server/formats/write-pour.ts';
import { bytes, CGATS, CSV, CXF, cgatsTable, utf16 } from './samples.ts';

const NAMES = ['x.cxf', 'x.cgats', 'x.csv', 'x.txt', ''];
const GOOD = [
  CGATS,
  CSV,
  CSV.replaceAll(',', ';').replaceAll('.', ','),
  CXF,
  cgatsTable('SAMPLE_ID SPECTRAL_NM SPECTRAL_PCT SPECTRAL_NM SPECTRAL_PCT', ['1 400 3.1 410 3.2', '2 400 3.1 410 3.3']),
].map(bytes);
GOOD.push(utf16(CGATS, 'le'), utf16(CXF.replace('UTF-8', 'UTF-16'), 'be'));

function holds(file: Uint8Array, name: string): void {
  const { readings, findings } = readReadings(file, name);
  const lines = file.length + 1;
  for (const { line, column, message } of findings) {
    expect(Number.isInteger(line) && line >= 1 && line <= lines).toBe(true);
    expect(Number.isInteger(column) && column >= 1 && column <= lines).toBe(true);
    expect(message.replace(/'.*'/, '')).not.toMatch(/NaN|undefined|\n/);
  }
  if (findings.some(({ severity }) => severity === 'error')) expect(readings).toEqual([]);
  else expect(readings.length).toBeGreaterThan(0);
  for (const { values } of readings) {
    for (const { lab, spectrum } of values) {
      expect(lab || spectrum).toBeTruthy();
      expect([...(lab ?? []), ...(spectrum?.values ?? [])].every(Number.isFinite)).toBe(true);
    }
  }
  const measured = pourOfReadings(readings).match(/^ {2}(lab|spectrum) .*$|^ {4}.*$/gm) ?? [];
  expect(measured.join('\n')).not.toMatch(/NaN|Infinity|undefined|e[-+]\d/);
}

interface Mutation {
  readonly at: number;
  readonly cut: number;
  readonly put: Uint8Array;
}

const TELLING = [
  '"',
  '<',
  '>',
  '&',
  ';',
  ',',
  '\t',
  '\n',
  '0',
  '-',
  'e',
  ']]>',
  '<!--',
  '<!DOCTYPE',
  'END_DATA\n',
  'BEGIN_DATA\n',
  'NaN',
  '1e999',
  '\u0000',
  '\u2028',
].map(bytes);

const mutation: fc.Arbitrary<Mutation> = fc.record({
  at: fc.double({ min: 0, max: 1, noNaN: true }),
  cut: fc.oneof(fc.constant(0), fc.nat(5), fc.nat(200)),
  put: fc.oneof(fc.uint8Array({ maxLength: 4 }), fc.constantFrom(...TELLING)),
});

function mutated(file: Uint8Array, mutations: readonly Mutation[]): Uint8Array {
  let result = file;
  for (const { at, cut, put } of mutations) {
    const from = Math.floor(at * result.length);
    result = Uint8Array.from([...result.subarray(0, from), ...put, ...result.subarray(from + cut)]);
  }
  return result;
}

describe('reading never throws', () => {
  it('on random bytes', () => {
    fc.assert(fc.property(fc.uint8Array({ maxLength: 300 }), fc.constantFrom(...NAMES), holds), { numRuns: 2000 });
  });

  it('on random text', () => {
    const text = fc.string({
      unit: fc.constantFrom(...'<>&"\'/=?![]-_ \n\t,;.#0123456789aLbCxFeNM:'.split('')),
      maxLength: 300,
    });
    fc.assert(fc.property(text.map(bytes), fc.constantFrom(...NAMES), holds), { numRuns: 2000 });
  });

  it('on good files with random changes', () => {
    const changed = fc
      .tuple(fc.constantFrom(...GOOD), fc.array(mutation, { minLength: 1, maxLength: 5 }))
      .map(([file, changes]) => mutated(file, changes));
    fc.assert(fc.property(changed, fc.constantFrom(...NAMES), holds), { numRuns: 4000 });
  });

  it('on good files cut short anywhere, and then no half reading is left of CxF3 and CGATS.17', () => {
    for (const [file, body] of [
      [CXF, '</CxF>'],
      [CGATS, 'END_DATA'],
    ] as const) {
      const whole = file.indexOf(body, file.indexOf('BEGIN_DATA\n')) + body.length;
      for (let length = 0; length < whole; length++) {
        const { readings, findings } = readReadings(bytes(file.slice(0, length)), 'x');
        expect(readings).toEqual([]);
        expect(findings.length).toBeGreaterThan(0);
      }
    }
  });
});
