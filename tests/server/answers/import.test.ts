import { describe, expect, it } from 'vitest';
import { type ImportAsked, importReadings } from '../../../server/answers/import.ts';
import { Book } from '../../../server/book/book.ts';
import { coloursIn, labOf } from '../../../server/book/colours.ts';
import { findingsIn } from '../../../server/book/findings.ts';
import { measuredIn } from '../../../server/book/known.ts';
import { bookOf } from '../book/marked.ts';
import { CGATS, CSV, CXF } from '../formats/samples.ts';
import { entry } from './entry.ts';

const imported = (text: string, asked: ImportAsked = {}, book = new Book()) =>
  importReadings(book, new TextEncoder().encode(text), 'day', asked);

const HALF = 'name,take,geometry,illuminant,observer,L,a,b\ndoor,1,45as15,A,,50,2,3\n';

describe('an imported file', () => {
  it.each([
    ['CGATS.17', CGATS],
    ['CSV', CSV],
    ['CxF3', CXF],
  ])('of %s becomes entries that the book reads without a mistake', (_, text) => {
    const { readings, text: pour, findings } = imported(text);
    expect(findings.filter((one) => one.severity === 'error')).toEqual([]);
    expect(readings).toEqual([{ id: 'SAM-door', name: 'SAM door' }]);
    const book = bookOf(pour);
    const cell = book.find('reading', 'SAM-door')!;
    // The samples' spectra are four values long; that no colour comes of them is another matter.
    const wrong = findingsIn(book, cell).filter((one) => one.severity === 'error' && one.code !== 'spectrum-short');
    expect(wrong).toEqual([]);
    const { labs, spectra } = measuredIn(book, cell);
    expect([...labs, ...spectra][0]!.geometry).toBe('45as15');
  });

  it('keeps its Lab to the digit', () => {
    const book = bookOf(imported(CGATS).text);
    const colours = coloursIn(book, book.find('reading', 'SAM-door')!);
    expect(labOf(colours.angles[0]!, { illuminant: 'D65', observer: '10' }, 'corrected')).toEqual([61.92, -18.4, 9.81]);
  });

  it('gets an id that the book does not have, and the instrument that the book knows by the name in the file', () => {
    const book = bookOf(
      entry('reading sam-DOOR "taken already"', 'lab 45/0 1 2 3') +
        entry('instrument I "bench multi-angle"', 'geometry 45as15'),
    );
    const { readings, text } = imported(CGATS, {}, book);
    expect(readings[0]!.id).toBe('SAM-door-2');
    expect(text).toContain('taken 2026-10-14 with I');
  });

  it('takes the angle that the person says where the file says none', () => {
    const csv = 'name,illuminant,observer,L,a,b\ndoor,D65,10,50,2,3\n';
    expect(imported(csv, { geometry: '45/0' }).text).toContain('lab 45/0 50 2 3');
    expect(imported(csv).findings.some((one) => one.severity === 'warning' && /angle/.test(one.message))).toBe(true);
  });

  it('takes the scale that the person says', () => {
    const low = 'name,geometry,400,410,420,430\ndoor,45/0,0.5,0.6,0.7,0.8\n';
    expect(imported(low, { scale: 'per cent' }).text).toContain('0.005 0.006 0.007 0.008');
    expect(imported(low, { scale: 'fraction' }).text).toContain('0.5 0.6 0.7 0.8');
  });

  it('with half a light is refused until the observer is said', () => {
    const refused = imported(HALF);
    expect(refused).toMatchObject({ readings: [], text: '' });
    expect(refused.findings.at(-1)).toMatchObject({ severity: 'error', line: 2 });
    expect(imported(HALF, { observer: '2' }).text).toContain('lab 45as15 A/2 take 1 50 2 3');
  });

  it('that is broken gives nothing but findings with their place', () => {
    const broken = imported(CGATS.replace('24.10', 'x'));
    expect(broken).toMatchObject({ readings: [], text: '' });
    expect(broken.findings[0]).toMatchObject({ severity: 'error', line: 15 });
  });

  it('keeps the names of its JSON', () => {
    const answer = imported(HALF);
    expect(Object.keys(answer).sort()).toEqual(['findings', 'readings', 'text']);
    expect(Object.keys(answer.findings[0]!).sort()).toEqual(['column', 'line', 'message', 'severity']);
  });
});
