import { describe, expect, it } from 'vitest';
import { coloursIn, labOf } from '../../../server/book/colours.ts';
import { comparableIn } from '../../../server/book/comparable.ts';
import { importedInto, unusedOf } from '../../../server/book/imported.ts';
import { measuredIn } from '../../../server/book/known.ts';
import { labOfSpectrum } from '../../../server/colour/lab.ts';
import { metamerOf, spectrumLine, standardSpectrum } from '../answers/metamers.ts';
import { bookOf, findingsFor } from './marked.ts';

const MAIN = { illuminant: 'D65', observer: '10' } as const;
const HEAD = 'name,take,geometry,illuminant,observer,L,a,b\n';

function readingOf(pour: string, csv: string) {
  const book = bookOf({ 'a.pour': pour, 'r.csv': csv });
  const cell = book.find('reading', 'R')!;
  const measured = measuredIn(book, cell);
  return {
    colours: coloursIn(book, cell),
    lacks: unusedOf(book, cell, measured).map((one) => one.lack),
    whole: importedInto(book, cell, measured),
  };
}
const FILE = 'reading R "r"\n  file "r.csv"\n';
const codes = ['file-angle', 'file-light', 'file-bandpass', 'file-specular'];

describe('values of an open-format file', () => {
  it('are the reading, where it has no lines of its own for the angle', () => {
    const csv = `${HEAD}door,1,45as15,D65,10,61,-18,9\ndoor,1,45as45,D65,10,40,-10,5\n`;
    const { colours } = readingOf(`${FILE}  lab 45as45 41 -11 6\n`, csv);
    expect(colours.angles.map((angle) => [angle.geometry, labOf(angle, MAIN, 'corrected')])).toEqual([
      ['45as15', [61, -18, 9]],
      ['45as45', [41, -11, 6]],
    ]);
  });

  it('without an angle are not used, and none is made up', () => {
    const csv = 'name,illuminant,observer,L,a,b\ndoor,D65,10,50,2,3\n';
    const { colours, lacks } = readingOf(FILE, csv);
    expect(colours.angles).toEqual([]);
    expect(lacks).toEqual(['angle']);
    expect(findingsFor({ 'a.pour': FILE, 'r.csv': csv }, ...codes)).toEqual([
      { code: 'file-angle', marked: '"r.csv"' },
    ]);
  });

  it('with half a light are not used', () => {
    const csv = `${HEAD}door,1,45as15,A,,50,2,3\n`;
    const { colours, lacks } = readingOf(FILE, csv);
    expect(colours.angles).toEqual([]);
    expect(lacks).toEqual(['light']);
    expect(findingsFor({ 'a.pour': FILE, 'r.csv': csv }, ...codes).map((one) => one.code)).toEqual(['file-light']);
  });

  it('that name no light are meant for the first of the book', () => {
    const { colours, lacks } = readingOf(FILE, 'name,geometry,L,a,b\ndoor,45as15,50,2,3\n');
    expect(labOf(colours.angles[0]!, MAIN, 'corrected')).toEqual([50, 2, 3]);
    expect(lacks).toEqual([]);
  });

  it('of several samples wait until one is named', () => {
    const csv = `${HEAD}door,1,45as15,D65,10,61,-18,9\nroof,1,45as15,D65,10,40,-10,5\n`;
    expect(readingOf(FILE, csv).colours.angles).toEqual([]);
    const { colours } = readingOf('reading R "r"\n  file "r.csv" sample "roof"\n', csv);
    expect(labOf(colours.angles[0]!, MAIN, 'corrected')).toEqual([40, -10, 5]);
  });

  it('leave out the takes that the reading leaves out', () => {
    const csv = `${HEAD}door,1,45as15,D65,10,50,0,0\ndoor,2,45as15,D65,10,52,0,0\n`;
    const { colours } = readingOf(`${FILE}  without take 2 "finger"\n`, csv);
    expect(labOf(colours.angles[0]!, MAIN, 'corrected')).toEqual([50, 0, 0]);
  });
});

const nm = Array.from({ length: 31 }, (_, i) => 400 + 10 * i).join(',');
const spectra = (...says: string[]) =>
  `name,take,geometry,bandpass,${nm}\n${says.map((said, i) => `door,${i + 1},d/8,${said},${[...standardSpectrum.values].map((v) => v.toFixed(7)).join(',')}\n`).join('')}`;

describe('the bandpass', () => {
  it('that the file says is the reading’s', () => {
    const { colours, lacks } = readingOf(FILE, spectra('uncorrected'));
    expect(lacks).toEqual([]);
    expect(colours.bandpass).toBe('uncorrected');
    const lab = labOf(colours.angles[0]!, MAIN, colours.bandpass)!;
    const expected = labOfSpectrum(standardSpectrum, 'D65', '10', 'uncorrected');
    for (const [i, value] of lab.entries()) expect(value).toBeCloseTo(expected[i]!, 4);
  });

  it('that contradicts the reading keeps its spectra out', () => {
    const csv = spectra('uncorrected');
    expect(readingOf(`${FILE}  bandpass corrected\n`, csv)).toMatchObject({
      colours: { angles: [] },
      lacks: ['bandpass'],
    });
    const own = readingOf(`${FILE}  ${spectrumLine('45as15', metamerOf(0.1))}\n`, csv);
    expect(own.colours.angles.map((angle) => angle.geometry)).toEqual(['45as15']);
    expect(own.lacks).toEqual(['bandpass']);
    const mixed = readingOf(FILE, spectra('uncorrected', 'corrected'));
    expect(mixed.lacks).toEqual(['bandpass']);
    expect(mixed.colours.angles[0]!.spectra).toHaveLength(1);
  });
});

const sphere = (specular: string) => `<ColorSpecification Id="${specular}"><MeasurementSpec>
  <GeometryChoice><SphereGeometry>${specular}</SphereGeometry></GeometryChoice><WavelengthRange StartWL="400" Increment="10"/>
 </MeasurementSpec></ColorSpecification>`;
const values = [...standardSpectrum.values].map((value) => value.toFixed(7)).join(' ');
const SPHERE = `<?xml version="1.0" encoding="UTF-8"?>
<CxF xmlns="http://colorexchangeformat.com/CxF3-core"><Resources>
 <ObjectCollection><Object ObjectType="Standard" Name="door" Id="o"><ColorValues>
  <ReflectanceSpectrum ColorSpecification="Specular_Included">${values}</ReflectanceSpectrum>
  <ReflectanceSpectrum ColorSpecification="Specular_Excluded">${values}</ReflectanceSpectrum>
 </ColorValues></Object></ObjectCollection>
 <ColorSpecificationCollection>${sphere('Specular_Included')}${sphere('Specular_Excluded')}</ColorSpecificationCollection>
</Resources></CxF>
`;
const sampled = (head: string, specular: string) => `${head}\n  file "r.cxf" sample "door, specular ${specular}"\n`;

describe('the gloss of a sphere', () => {
  it('with and without are two samples', () => {
    const book = bookOf({ 'a.pour': 'reading R "r"\n  file "r.cxf"\n', 'r.cxf': SPHERE });
    expect(coloursIn(book, book.find('reading', 'R')!).angles).toEqual([]);
    const one = bookOf({ 'a.pour': sampled('reading R "r"', 'excluded'), 'r.cxf': SPHERE });
    expect(coloursIn(one, one.find('reading', 'R')!).angles[0]!.spectra).toHaveLength(1);
  });

  it('is held against the book’s surface correction, on cards', () => {
    const found = (specular: string) =>
      findingsFor({ 'a.pour': sampled('sprayout C of F', specular), 'r.cxf': SPHERE }, ...codes);
    expect(found('excluded')).toEqual([]);
    expect(found('included')).toEqual([{ code: 'file-specular', marked: '"r.cxf"' }]);
  });

  it('keeps a pair from being compared', () => {
    const text = sampled('reading IN "r"', 'included') + sampled('reading EX "r"', 'excluded');
    const book = bookOf({ 'a.pour': text, 'r.cxf': SPHERE });
    const [a, b] = ['IN', 'EX'].map((id) => book.find('reading', id)!);
    expect(comparableIn(book, a!, b!)).toMatchObject({
      comparable: false,
      reasons: [{ kind: 'geometry', text: expect.stringContaining('gloss included') }],
    });
    expect(comparableIn(book, a!, a!).comparable).toBe(true);
  });
});

it('the time of the file is the reading’s, where its lines say none', () => {
  const csv = 'name,taken,geometry,illuminant,observer,L,a,b\ndoor,2026-10-14,45as15,D65,10,50,2,3\n';
  expect(readingOf(FILE, csv).whole.taken).toBe('2026-10-14');
  expect(readingOf('reading R "r"\n  taken 2026-10-02\n  file "r.csv"\n', csv).whole.taken).toBe('2026-10-02');
});

it('the angle of the file is the instrument’s, where the instrument has only one', () => {
  const csv = 'name,L,a,b\nr,50,0,0\n';
  const reading = (geometry: string) =>
    `instrument I "i"\n  geometry ${geometry}\n\nreading R "r"\n  taken 2026-10-01 with I\n  file "r.csv"\n`;
  const anglesWith = (geometry: string) => {
    const book = bookOf({ 'book.pour': reading(geometry), 'r.csv': csv });
    return coloursIn(book, book.find('reading', 'R')!).angles.map((angle) => angle.geometry);
  };
  expect(anglesWith('45/0')).toEqual(['45/0']);
  expect(anglesWith('45as15 45as45')).toEqual([]);
});
