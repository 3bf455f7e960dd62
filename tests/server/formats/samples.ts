/** Files that the tests write themselves: an invented bench, invented panels. */
import { readReadings } from '../../../server/formats/detect.ts';
import type { ImportOptions, ImportResult } from '../../../server/formats/imported.ts';

export const bytes = (text: string): Uint8Array => new TextEncoder().encode(text);

export const read = (text: string, name: string, options?: ImportOptions): ImportResult =>
  readReadings(bytes(text), name, options);

/** One byte a letter, as old Windows exports are; every letter has to be of Latin-1. */
export const latin1 = (text: string): Uint8Array => Uint8Array.from(text, (letter) => letter.charCodeAt(0));

export function utf16(text: string, order: 'le' | 'be', mark = true): Uint8Array {
  const units = [...(mark ? `\ufeff${text}` : text)].flatMap((letter) =>
    Array.from(letter, (_, at) => letter.charCodeAt(at)),
  );
  const view = new DataView(new ArrayBuffer(units.length * 2));
  for (const [at, unit] of units.entries()) view.setUint16(at * 2, unit, order === 'le');
  return new Uint8Array(view.buffer);
}

export const CGATS = `CGATS.17
ORIGINATOR "Saltmarsh bench"
CREATED "2026-10-14"
INSTRUMENTATION "bench multi-angle"
WEIGHTING_FUNCTION "ILLUMINANT, D65"
WEIGHTING_FUNCTION "OBSERVER, 10 degree"
KEYWORD "GEOMETRY"
NUMBER_OF_FIELDS 6
BEGIN_DATA_FORMAT
SAMPLE_ID SAMPLE_NAME GEOMETRY LAB_L LAB_A LAB_B
END_DATA_FORMAT
NUMBER_OF_SETS 2
BEGIN_DATA
1 "SAM door" 45as15 61.92 -18.40 9.81
2 "SAM door" 45as110 24.10 -9.75 3.02
END_DATA
`;

export const CSV = `name,take,geometry,400,410,420,430
SAM door,1,45as15,0.0311,0.0325,0.0341,0.0366
SAM door,2,45as15,0.0312,0.0326,0.0342,0.0367
`;

export const CXF = `<?xml version="1.0" encoding="UTF-8"?>
<CxF xmlns="http://colorexchangeformat.com/CxF3-core">
 <FileInformation><Creator>Saltmarsh bench</Creator></FileInformation>
 <Resources>
  <ObjectCollection>
   <Object ObjectType="Standard" Name="SAM door" Id="o1"><CreationDate>2026-10-14T09:20:00Z</CreationDate>
    <ColorValues>
     <ReflectanceSpectrum ColorSpecification="as15" StartWL="400">0.0311 0.0325 0.0341 0.0366</ReflectanceSpectrum>
     <ColorCIELab ColorSpecification="as15"><L>61.92</L><A>-18.40</A><B>9.81</B></ColorCIELab>
     <ColorCIELab ColorSpecification="as110"><L>24.10</L><A>-9.75</A><B>3.02</B></ColorCIELab>
    </ColorValues>
   </Object>
  </ObjectCollection>
  <ColorSpecificationCollection>
   <ColorSpecification Id="as15">
    <TristimulusSpec><Illuminant>D65</Illuminant><Observer>10_Degree</Observer><Method>E308_Table6</Method></TristimulusSpec>
    <MeasurementSpec><MeasurementType>Spectrum_Reflectance</MeasurementType><GeometryChoice><MultiAngle><BRDFAngle Notation="45as15">
     <IlluminationAngle>45</IlluminationAngle><Aspecular>15</Aspecular></BRDFAngle></MultiAngle></GeometryChoice>
     <WavelengthRange StartWL="400" Increment="10"/><Device><Model>bench multi-angle</Model></Device></MeasurementSpec>
   </ColorSpecification>
   <ColorSpecification Id="as110">
    <TristimulusSpec><Illuminant>D65</Illuminant><Observer>10_Degree</Observer><Method>E308_Table5</Method></TristimulusSpec>
    <MeasurementSpec><MeasurementType>Spectrum_Reflectance</MeasurementType><GeometryChoice><MultiAngle><BRDFAngle Notation="45as110">
     <IlluminationAngle>45</IlluminationAngle><Aspecular>110</Aspecular></BRDFAngle></MultiAngle></GeometryChoice>
     <WavelengthRange StartWL="400" Increment="10"/></MeasurementSpec>
   </ColorSpecification>
  </ColorSpecificationCollection>
 </Resources>
</CxF>
`;

/** Lines of a table of Lab, with what a test wants to change. */
export function cgatsTable(fields: string, rows: readonly string[], header: readonly string[] = []): string {
  return [
    'CGATS.17',
    ...header,
    'BEGIN_DATA_FORMAT',
    fields,
    'END_DATA_FORMAT',
    `NUMBER_OF_SETS ${rows.length}`,
    'BEGIN_DATA',
    ...rows,
    'END_DATA',
    '',
  ].join('\n');
}
