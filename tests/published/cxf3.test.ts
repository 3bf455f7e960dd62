/**
 * Lab computed from the spectra of a published CxF3 file against the Lab that the file itself states for the same patches (D50, 2
 * degrees, method E308_Table5). Source and licence in the head of the data file.
 */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { difference } from '../../server/colour/difference.ts';
import { labOfSpectrum } from '../../server/colour/lab.ts';
import { readReadings } from '../../server/formats/detect.ts';

const file = new URL('./data/cxf3-excerpt.cxf', import.meta.url);

describe('a published CxF3 file', () => {
  const { readings, findings } = readReadings(new Uint8Array(readFileSync(file)), 'cxf3-excerpt.cxf');
  const values = readings.flatMap((reading) => reading.values);

  it('is read whole and without a remark', () => {
    expect(findings).toEqual([]);
    expect(readings).toHaveLength(23);
    for (const value of values) {
      expect(value).toMatchObject({ geometry: '45/0', illuminant: 'D50', observer: '2', bandpass: 'corrected' });
      expect(value.spectrum).toMatchObject({ start: 380, step: 10 });
      expect(value.spectrum!.values).toHaveLength(31);
    }
  });

  it.each(readings.map((reading) => [reading.name, reading.values[0]!] as const))(
    'states for patch %s the Lab of its spectrum to 0.15',
    (_, { lab, spectrum }) => {
      expect(difference('dE76', lab!, labOfSpectrum(spectrum!, 'D50', '2'))).toBeLessThan(0.15);
    },
  );

  it('would miss under another illuminant: the ColorSpecification matters', () => {
    const misses = values.map(({ lab, spectrum }) => difference('dE76', lab!, labOfSpectrum(spectrum!, 'D65', '10')));
    expect(Math.max(...misses)).toBeGreaterThan(1);
  });
});
