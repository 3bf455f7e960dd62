import { describe, expect, it } from 'vitest';
import { readReadings } from '../../../server/formats/detect.ts';
import { CXF, latin1, read, utf16 } from './samples.ts';

const lab = (specification: string, L = 50) =>
  `<ColorCIELab ColorSpecification="${specification}"><L>${L}</L><A>1</A><B>2</B></ColorCIELab>`;

const geometry = (choice: string) =>
  CXF.replaceAll(/<GeometryChoice>[\s\S]*?<\/GeometryChoice>/g, `<GeometryChoice>${choice}</GeometryChoice>`).replace(
    /\s*<ColorCIELab ColorSpecification="as110">.*<\/ColorCIELab>/,
    '',
  );

describe('CxF3', () => {
  it('joins each value with the ColorSpecification that it names', () => {
    const { readings, findings } = read(CXF, 'sam.cxf');
    expect(findings).toEqual([]);
    expect(readings).toMatchObject([
      {
        name: 'SAM door',
        taken: '2026-10-14T09:20Z',
        instrument: 'bench multi-angle',
        values: [
          {
            geometry: '45as15',
            illuminant: 'D65',
            observer: '10',
            bandpass: 'uncorrected',
            lab: [61.92, -18.4, 9.81],
            spectrum: { start: 400, step: 10 },
            place: { line: 8, column: 6 },
          },
          {
            geometry: '45as110',
            illuminant: 'D65',
            observer: '10',
            lab: [24.1, -9.75, 3.02],
            place: { line: 10, column: 6 },
          },
        ],
      },
    ]);
    expect([...readings[0]!.values[0]!.spectrum!.values]).toEqual([0.0311, 0.0325, 0.0341, 0.0366]);
  });

  it('takes a prefix for the namespace, and lets other namespaces pass', () => {
    const prefixed = CXF.replaceAll(/<(\/?)([A-Z])/g, '<$1cc:$2').replace('xmlns=', 'xmlns:cc=');
    const foreign = prefixed.replace(
      '<cc:ObjectCollection>',
      '<cc:ObjectCollection><x:Object xmlns:x="urn:own" Id="o1"><x:L>n</x:L></x:Object>',
    );
    expect(read(foreign, 'sam.cxf')).toMatchObject({ findings: [], readings: [{ name: 'SAM door' }] });
  });

  it.each([
    ['<SphereGeometry>Specular_Excluded</SphereGeometry>', { geometry: 'd/8', specular: 'excluded' }],
    ['<SphereGeometry>Specular_Included</SphereGeometry>', { geometry: 'd/8', specular: 'included' }],
    [
      '<SingleAngle><IlluminationAngle>45</IlluminationAngle><MeasurementAngle>0.0</MeasurementAngle></SingleAngle>',
      { geometry: '45/0' },
    ],
    [
      '<SingleAngle><IlluminationAngle>0</IlluminationAngle><MeasurementAngle>45</MeasurementAngle></SingleAngle>',
      { geometry: '0/45' },
    ],
    [
      '<MultiAngle><BRDFAngle><IlluminationAngle>45</IlluminationAngle><Aspecular>-15</Aspecular><Azimuth>0</Azimuth></BRDFAngle></MultiAngle>',
      { geometry: '45as-15' },
    ],
  ])('reads the geometry %s', (choice, expected) => {
    expect(read(geometry(choice), 'x.cxf').readings[0]!.values[0]).toMatchObject(expected);
  });

  it.each([
    [
      'two angles for one value',
      '<MultiAngle><BRDFAngle><IlluminationAngle>45</IlluminationAngle><Aspecular>15</Aspecular></BRDFAngle><BRDFAngle><IlluminationAngle>45</IlluminationAngle><Aspecular>25</Aspecular></BRDFAngle></MultiAngle>',
    ],
    [
      'an angle out of the plane',
      '<MultiAngle><BRDFAngle><IlluminationAngle>45</IlluminationAngle><Aspecular>15</Aspecular><Azimuth>30</Azimuth></BRDFAngle></MultiAngle>',
    ],
    ['an unknown one', '<UnknownGeometry>X</UnknownGeometry>'],
  ])('leaves the geometry open for %s, with a warning at its place', (_, choice) => {
    const { readings, findings } = read(geometry(choice), 'x.cxf');
    expect(readings[0]!.values[0]!.geometry).toBeUndefined();
    expect(findings[0]).toMatchObject({ severity: 'warning' });
  });

  it('leaves out what is no reflectance', () => {
    const emissive = CXF.replace('Spectrum_Reflectance', 'Colorimetric_Emissive');
    const { readings, findings } = read(emissive, 'x.cxf');
    expect(readings[0]!.values.map((value) => value.geometry)).toEqual(['45as110']);
    expect(findings).toMatchObject([{ severity: 'warning', line: 17 }]);
  });

  it('takes Lab where one colour stands in several forms', () => {
    const forms =
      '<ColorCIEXYZ ColorSpecification="as15"><X>1</X><Y>1</Y><Z>1</Z></ColorCIEXYZ><ColorCIELCh ColorSpecification="as15"><L>9</L><C>9</C><H>9</H></ColorCIELCh>';
    const result = read(CXF.replace('<ColorCIELab', `${forms}<ColorCIELab`), 'x.cxf');
    expect(result).toMatchObject({ findings: [], readings: [{ values: [{ lab: [61.92, -18.4, 9.81] }, {}] }] });
  });

  it('turns XYZ into Lab', () => {
    const xyz = CXF.replace(
      /<ColorCIELab ColorSpecification="as15">.*?<\/ColorCIELab>/,
      '<ColorCIEXYZ ColorSpecification="as15"><X>94.811</X><Y>100</Y><Z>107.304</Z></ColorCIEXYZ>',
    );
    const alone = xyz.replace(/<Reflectance.*<\/ReflectanceSpectrum>/, '');
    // The white point D65/10 of CIE 015.
    const [L, a, b] = read(alone, 'x.cxf').readings[0]!.values[0]!.lab!;
    expect(Math.hypot(L - 100, a, b)).toBeLessThan(0.02);
  });

  it('reads Latin-1 where the XML declares it', () => {
    const text = CXF.replace('UTF-8', 'ISO-8859-1').replace('SAM door', 'Tür');
    expect(readReadings(latin1(text), 'x.cxf')).toMatchObject({ findings: [], readings: [{ name: 'Tür' }] });
    expect(readReadings(utf16(CXF.replace('SAM door', 'Tür').replace('UTF-8', 'UTF-16'), 'le'), 'x.cxf')).toMatchObject(
      { readings: [{ name: 'Tür' }] },
    );
  });

  it('reads the five entities of XML and figures of letters', () => {
    const text = CXF.replace('Name="SAM door"', 'Name="&lt;SAM&gt; &amp; &quot;d&#246;&#x6f;r&apos;"');
    expect(read(text, 'x.cxf').readings[0]!.name).toBe('<SAM> & "döor\'');
  });

  it('refuses two values of one kind under one specification, with the place of the second', () => {
    const text = CXF.replace('    </ColorValues>', `     ${lab('as15')}\n    </ColorValues>`);
    expect(read(text, 'x.cxf')).toMatchObject({
      readings: [],
      findings: [{ severity: 'error', line: 11, column: 6 }],
    });
  });
});
