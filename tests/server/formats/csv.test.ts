import { describe, expect, it } from 'vitest';
import { CSV, read } from './samples.ts';

describe('CSV with named columns', () => {
  it('reads wavelengths as columns', () => {
    const { readings } = read(CSV, 'sam.csv');
    expect(readings).toHaveLength(1);
    expect(readings[0]!.values).toMatchObject([
      { take: 1, geometry: '45as15', spectrum: { start: 400, step: 10 }, place: { line: 2, column: 1 } },
      { take: 2, geometry: '45as15', spectrum: { start: 400, step: 10 }, place: { line: 3, column: 1 } },
    ]);
    expect([...readings[0]!.values[1]!.spectrum!.values]).toEqual([0.0312, 0.0326, 0.0342, 0.0367]);
  });

  it.each([',', ';', '\t'])('takes %j between columns', (separator) => {
    const text = 'name,take,geometry,illuminant,observer,L,a,b\nSAM,1,d/8 SCE,A,2,50.5,-1,2\n'.replaceAll(
      ',',
      separator,
    );
    expect(read(text, 'x.csv').readings[0]!.values[0]).toMatchObject({
      take: 1,
      geometry: 'd/8',
      specular: 'excluded',
      illuminant: 'A',
      observer: '2',
      lab: [50.5, -1, 2],
    });
  });

  it('reads decimal commas between semicolons, and says so', () => {
    const { readings, findings } = read('name;geometry;L;a;b\nSAM;45/0;50,5;-1,25;2\n', 'x.csv');
    expect(readings[0]!.values[0]!.lab).toEqual([50.5, -1.25, 2]);
    expect(findings).toContainEqual(
      expect.objectContaining({
        severity: 'info',
        line: 2,
        column: 10,
        message: expect.stringContaining('decimal comma'),
      }),
    );
  });

  it.each([
    ['between commas', 'name,geometry,L,a,b\nSAM,45/0,"50,5",1,2\n', 10],
    ['beside decimal points', 'name;geometry;L;a;b\nSAM;45/0;50,5;1.5;2\n', 10],
  ])('refuses decimal commas %s', (_, text, column) => {
    expect(read(text, 'x.csv')).toMatchObject({ readings: [], findings: [{ severity: 'error', line: 2, column }] });
  });

  it('keeps a place right below a quoted cell with line ends', () => {
    const { readings, findings } = read('name,note,L,a,b\n"SAM","soft\nlight",50,1,2\nHOOD,,x,1,2\n', 'x.csv');
    expect(readings).toEqual([]);
    expect(findings).toContainEqual(expect.objectContaining({ severity: 'error', line: 4, column: 7 }));
  });

  it('keeps readings with and without the specular part apart', () => {
    const { readings } = read('name,geometry,L,a,b\nSAM,d/8 SCI,51,1,2\nSAM,d/8 SCE,50,1,2\n', 'x.csv');
    expect(readings.map(({ name }) => name)).toEqual(['SAM, specular included', 'SAM, specular excluded']);
  });

  it('drops a spectrum that is repeated beside the Lab of another illuminant', () => {
    const text =
      'name,geometry,illuminant,observer,L,a,b,540,550\nS,45/0,D65,10,70,1,2,0.4,0.4\nS,45/0,A,10,71,1,2,0.4,0.4\n';
    const { readings } = read(text, 'x.csv');
    expect(readings[0]!.values.map(({ lab, spectrum }) => [lab !== undefined, spectrum !== undefined])).toEqual([
      [true, true],
      [true, false],
    ]);
  });

  it('lets a row hold Lab only where another holds a spectrum only', () => {
    const { readings } = read('name,geometry,L,a,b,540,550\nS,45/0,70,1,2,,\nT,45/0,,,,0.4,0.4\n', 'x.csv');
    expect(readings.map(({ values }) => Object.keys(values[0]!))).toEqual([
      ['geometry', 'lab', 'place'],
      ['geometry', 'place', 'spectrum'],
    ]);
  });

  it('says once what the book will have to assume', () => {
    const { findings } = read('name,L,a,b\nS,70,1,2\nT,70,1,2\n', 'x.csv');
    expect(findings).toMatchObject([
      { severity: 'info', line: 2 },
      { severity: 'warning', line: 2 },
    ]);
  });
});
