/** Broken and hostile files: each gives an error with its place, no reading, and no exception. */
import { describe, expect, it } from 'vitest';
import { readReadings } from '../../../server/formats/detect.ts';
import { bytes, CGATS, CSV, CXF, cgatsTable, latin1, utf16 } from './samples.ts';

/** [what is wrong, the file, the line, the column, a part of the message] */
type Broken = readonly [string, Uint8Array | string, number, number, RegExp];

const LAB = 'SAMPLE_ID LAB_L LAB_A LAB_B';
const lab = (...rows: string[]) => cgatsTable(LAB, rows);
const spectral = (fields: string, row: string) => cgatsTable(`SAMPLE_ID ${fields}`, [row]);
const dtd = (inner: string) => CXF.replace('?>\n', `?>\n<!DOCTYPE CxF [${inner}]>\n`);
const LAUGHS = `<!ENTITY a "ha">${'bcdefghi'.replace(/./g, (to) => `<!ENTITY ${to} "${`&${String.fromCharCode(to.charCodeAt(0) - 1)};`.repeat(10)}">`)}`;

const texts: Broken[] = [
  ['an empty file', '', 1, 1, /empty/],
  ['blanks alone', ' \n\n\t', 1, 1, /blanks/],
  ['a letter to the bank', 'Dear all,\nplease find enclosed\n', 1, 1, /open format/],
  ['a picture', Uint8Array.from([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a, 0, 0, 0, 13]), 3, 1, /zero byte/],
  ['a packed spreadsheet', Uint8Array.from([0x50, 0x4b, 3, 4, 20, 0, 6, 0]), 1, 1, /save the sheet as CSV/],
  ['a zero byte inside', CGATS.replace('61.92', '61\u0000.92'), 14, 23, /zero byte/],
  ['another control character', CGATS.replace('61.92', '61\u0007.92'), 14, 23, /U\+0007/],
  ['UTF-16 without a mark', utf16(CGATS, 'le', false), 1, 2, /byte order mark/],
  ['UTF-16 with half a letter', utf16(CGATS, 'le').subarray(0, 301), 6, 18, /not valid UTF-16/],
  ['UTF-32', Uint8Array.from([0xff, 0xfe, 0, 0, 0x41, 0, 0, 0]), 1, 1, /UTF-32/],
  [
    'a UTF-8 mark before Latin-1',
    latin1(`\u00ef\u00bb\u00bf${CGATS.replace('door', 't\u00fcr')}`),
    14,
    9,
    /not valid UTF-8/,
  ],
  ['bytes of no code page', latin1(CGATS.replace('door', 't\u0081r')), 14, 9, /neither UTF-8 nor Windows-1252/],
  ['noise of high bytes', Uint8Array.from({ length: 400 }, (_, at) => 0xa1 + (at % 60)), 1, 1, /known encoding/],
  ['a file beyond the limit', new Uint8Array(16 * 1024 * 1024 + 1).fill(0x20), 1, 1, /larger than 16 MB/],
  ['an overlong line', `${CGATS}# ${'x'.repeat(70_000)}`, 17, 65_537, /longer than/],
];

const cgats: Broken[] = [
  ['cut short in its rows', CGATS.slice(0, CGATS.indexOf('2 "SAM')), 13, 1, /no END_DATA/],
  ['cut short in its fields', CGATS.slice(0, CGATS.indexOf('END_DATA_FORMAT')), 9, 1, /no END_DATA_FORMAT/],
  ['cut short before its rows', CGATS.slice(0, CGATS.indexOf('BEGIN_DATA\n')), 13, 1, /before BEGIN_DATA/],
  ['a header alone', 'CGATS.17\nORIGINATOR "bench"\n', 3, 1, /BEGIN_DATA_FORMAT/],
  ['no END_DATA_FORMAT', CGATS.replace('END_DATA_FORMAT\n', ''), 12, 1, /END_DATA_FORMAT is missing/],
  ['no BEGIN_DATA_FORMAT', CGATS.replace('BEGIN_DATA_FORMAT\n', ''), 10, 1, /without its BEGIN_DATA_FORMAT/],
  ['no END_DATA between tables', CGATS.replace('END_DATA\n', '') + CGATS, 24, 1, /END_DATA is missing/],
  ['END_DATA first', 'CGATS.17\nEND_DATA\nBEGIN_DATA\n', 2, 1, /without its BEGIN_DATA/],
  ['no fields', cgatsTable('', ['1']), 2, 1, /list of fields is empty/],
  ['a row too short', lab('1 50 1 2', '2 50 1'), 8, 6, /3 values for 4 fields/],
  ['a row too long: a name without quotes', lab('SAM door 50 1 2'), 7, 15, /need quotes/],
  ['a wrong number of fields', CGATS.replace('FIELDS 6', 'FIELDS 7'), 8, 18, /says 7, but 6/],
  ['a huge number of rows', CGATS.replace('SETS 2', 'SETS 999999999'), 12, 16, /no export of an instrument/],
  ['a number of rows in words', CGATS.replace('SETS 2', 'SETS two'), 12, 16, /whole number/],
  ['a negative number of rows', CGATS.replace('SETS 2', 'SETS -2'), 12, 16, /whole number/],
  ['fewer rows than said', CGATS.replace('SETS 2', 'SETS 9'), 12, 16, /cut short/],
  ['no rows', lab(), 6, 1, /no row/],
  ['an open quote', CGATS.replace('1 "SAM door"', '1 "SAM door'), 14, 3, /not closed/],
  ['NaN', lab('1 NaN 1 2'), 7, 3, /no measured value/],
  ['Infinity', lab('1 50 -Infinity 2'), 7, 6, /no measured value/],
  ['1e400', lab('1 50 1 1e400'), 7, 8, /too large/],
  ['hexadecimal', lab('1 0x32 1 2'), 7, 3, /not a number/],
  ['a typographic minus', lab('1 50 \u22121 2'), 7, 6, /plain '-'/],
  ['a spreadsheet error', lab('1 50 #REF! 2'), 7, 6, /no measured value/],
  ['a decimal comma beside a point', lab('1 50,5 1.5 2'), 7, 3, /decimal comma/],
  ['a thousands mark', lab('1 50.5 1,234.5 2'), 7, 8, /decimal comma/],
  ['an L* of 5000', lab('1 5000 1 2'), 7, 3, /no lightness/],
  ['an a* of -9000', lab('1 50 -9000 2'), 7, 3, /far outside/],
  ['one sample number twice', lab('1 50 1 2', '1 51 1 2'), 8, 1, /comes twice/],
  [
    'one take twice',
    cgatsTable('SAMPLE_ID SAMPLE_NAME TAKE LAB_L LAB_A LAB_B', ['1 S 1 50 1 2', '2 S 1 50 1 2']),
    8,
    1,
    /two values/,
  ],
  ['take 0', cgatsTable('SAMPLE_ID TAKE LAB_L LAB_A LAB_B', ['1 0 50 1 2']), 7, 3, /no take/],
  [
    'an unknown geometry',
    cgatsTable('SAMPLE_ID GEOMETRY LAB_L LAB_A LAB_B', ['1 sideways 50 1 2']),
    7,
    3,
    /no geometry/,
  ],
  [
    'an unknown illuminant',
    cgatsTable('SAMPLE_ID ILLUMINANT LAB_L LAB_A LAB_B', ['1 lamp 50 1 2']),
    7,
    3,
    /illuminant/,
  ],
  ['a field twice', cgatsTable(`${LAB} LAB_L`, ['1 50 1 2 50']), 3, 29, /says the same/],
  ['no b*', cgatsTable('SAMPLE_ID LAB_L LAB_A', ['1 50 1']), 3, 11, /b\* is missing/],
  ['no name', cgatsTable('LAB_L LAB_A LAB_B', ['50 1 2']), 3, 1, /names the sample/],
  ['no colour', cgatsTable('SAMPLE_ID GEOMETRY', ['1 45/0']), 3, 1, /holds a colour/],
  ['a negative wavelength', spectral('SPECTRAL_-400 SPECTRAL_410', '1 0.1 0.2'), 3, 11, /no wavelength/],
  ['a wavelength of heat', spectral('SPECTRAL_400 SPECTRAL_9000', '1 0.1 0.2'), 3, 24, /no wavelength/],
  ['a wavelength in letters', spectral('SPECTRAL_RED SPECTRAL_410', '1 0.1 0.2'), 3, 11, /names no wavelength/],
  ['mixed steps', spectral('SPECTRAL_400 SPECTRAL_410 SPECTRAL_425', '1 0.1 0.2 0.3'), 3, 37, /step is 15 nm/],
  ['falling wavelengths', spectral('SPECTRAL_410 SPECTRAL_400', '1 0.1 0.2'), 3, 24, /do not rise/],
  ['a wavelength twice', spectral('SPECTRAL_400 SPECTRAL_400', '1 0.1 0.2'), 3, 24, /says the same/],
  ['one wavelength', spectral('SPECTRAL_400', '1 0.1'), 3, 11, /two wavelengths/],
  [
    'mixed steps in pairs',
    spectral('SPECTRAL_NM SPECTRAL_DEC SPECTRAL_NM SPECTRAL_DEC SPECTRAL_NM SPECTRAL_DEC', '1 400 0.1 410 0.1 425 0.1'),
    7,
    19,
    /step is 15 nm/,
  ],
  ['a value without its wavelength', spectral('SPECTRAL_DEC SPECTRAL_NM', '1 0.1 400'), 3, 11, /in pairs/],
  ['a reflectance of -0.5', spectral('SPECTRAL_400 SPECTRAL_410', '1 0.1 -0.5'), 7, 7, /outside -0.1 to 3.0/],
  ['a reflectance of 900 %', spectral('SPECTRAL_400 SPECTRAL_410', '1 50 900'), 7, 6, /outside -0.1 to 3.0/],
  ['XYZ without a light', cgatsTable('SAMPLE_ID XYZ_X XYZ_Y XYZ_Z', ['1 10 10 10']), 7, 3, /illuminant/],
  ['rows before the table', `CGATS.17\n50 1 2\n${CGATS}`, 2, 1, /keyword is expected/],
  [
    'a thousand tables',
    `CGATS.17\n${lab('1 50 1 2').replace('CGATS.17\n', '').repeat(1000)}`,
    1402,
    1,
    /more than 200 tables/,
  ],
];

const csv: Broken[] = [
  ['a header alone', 'name,L,a,b\n', 1, 1, /no row/],
  ['ragged rows', 'name,L,a,b\nSAM,50,1\n', 2, 8, /3 cells for 4 columns/],
  ['a row too long', 'name,L,a,b\nSAM,50,1,2,3\n', 2, 12, /5 cells for 4 columns/],
  ['a column twice', 'name,L,a,b,L\nSAM,50,1,2,50\n', 1, 12, /says the same/],
  ['an unknown column twice', 'name,L,a,b,shift,shift\nSAM,50,1,2,x,y\n', 1, 18, /comes twice/],
  ['a column without a name', 'name,,L,a,b\nSAM,,50,1,2\n', 1, 6, /has no name/],
  ['an open quote', 'name,L,a,b\n"SAM,50,1,2\n', 2, 1, /not closed/],
  ['a quote inside of a cell', 'name,L,a,b\n"SAM"x,50,1,2\n', 2, 1, /quote stands inside/],
  ['an empty number', 'name,L,a,b\nSAM,50,,2\n', 2, 8, /missing here/],
  ['a row without a colour', 'name,L,a,b\nSAM,,,\n', 2, 1, /holds no colour/],
  ['a row without a name', 'name,L,a,b\n,50,1,2\n', 2, 1, /does not name/],
  ['words for numbers', CSV.replace('0.0326', 'dark'), 3, 26, /not a number/],
  ['negative wavelengths', CSV.replace('400,410', '-400,410'), 1, 20, /no wavelength/],
  ['mixed steps', CSV.replace('430', '440'), 1, 32, /step is 20 nm/],
  ['a step of half a nanometre', 'name,400,400.5\nS,0.1,0.1\n', 1, 6, /whole nanometres/],
  ['one take twice', CSV.replace('door,2', 'door,1'), 3, 1, /different takes/],
  ['a date of the wrong order', 'name,taken,L,a,b\nSAM,14/10/2026,50,1,2\n', 2, 5, /no date/],
  ['a day that is none', 'name,taken,L,a,b\nSAM,2026-02-30,50,1,2\n', 2, 5, /no date/],
  ['a name without end', `name,L,a,b\n${'n'.repeat(300)},50,1,2\n`, 2, 1, /longer than 200/],
];

const cxf: Broken[] = [
  ['a billion laughs', dtd(LAUGHS).replace('SAM door', '&i;'), 2, 1, /document type/],
  ['an outer entity', dtd('<!ENTITY x SYSTEM "file:///etc/passwd">').replace('SAM door', '&x;'), 2, 1, /document type/],
  [
    'an outer document type',
    CXF.replace('?>\n', '?>\n<!DOCTYPE CxF SYSTEM "http://example.org/cxf.dtd">\n'),
    2,
    1,
    /document type/,
  ],
  [
    'a document type without end',
    `<?xml version="1.0"?>\n<!DOCTYPE CxF [${'<!ENTITY a "b">'.repeat(1000)}`,
    2,
    1,
    /document type/,
  ],
  ['an undeclared entity', CXF.replace('SAM door', 'SAM&nbsp;door'), 6, 43, /five entities/],
  ['cut short', CXF.slice(0, 600), 10, 65, /cut short/],
  ['cut short inside of a tag', CXF.slice(0, CXF.indexOf('StartWL') + 3), 8, 55, /cut short/],
  ['a wrong closing tag', CXF.replace('</A>', '</Aa>'), 9, 70, /not well-formed/],
  ['text after the root', `${CXF}<x/>`, 30, 3, /not well-formed/],
  ['an attribute twice', CXF.replace('Id="o1"', 'Id="o1" Id="o2"'), 6, 65, /not well-formed/],
  [
    'deep nesting',
    CXF.replace('<FileInformation>', `<FileInformation>${'<a>'.repeat(100_000)}`),
    3,
    135,
    /nested deeper/,
  ],
  [
    'too many attributes',
    CXF.replace('Id="o1"', `Id="o1" ${Array.from({ length: 5000 }, (_, at) => `a${at}="1"`).join(' ')}`),
    6,
    542,
    /too many attributes/,
  ],
  ['text without end', CXF.replace('Saltmarsh bench', 'x'.repeat(200_000)), 3, 65_443, /longer than 65536/],
  [
    'a comment without end',
    CXF.replace('<Creator>', `<!--${'x'.repeat(200_000)}--><Creator>`),
    3,
    65_443,
    /longer than 65536/,
  ],
  [
    'text without end in small pieces',
    CXF.replace('Saltmarsh bench', `${'x'.repeat(900)}<!---->`.repeat(100)),
    3,
    28,
    /more than 65536 characters/,
  ],
  [
    'too many objects',
    CXF.replace(
      / {3}<Object[\s\S]*<\/Object>/,
      Array.from({ length: 21_000 }, (_, at) => `<Object Id="o${at}" Name="b"/>\n`).join(''),
    ),
    20006,
    1,
    /more than 20000 objects/,
  ],
  ['another root', '<html><body/></html>', 1, 1, /not CxF/],
  [
    'an older namespace',
    CXF.replace('colorexchangeformat.com/CxF3-core', 'colorexchangeformat.com/v2'),
    2,
    1,
    /namespace/,
  ],
  ['a prefix that is bound to nothing', CXF.replaceAll(/<(\/?)CxF/g, '<$1cc:CxF'), 2, 57, /not well-formed/],
  ['an encoding that it has not', CXF.replace('UTF-8', 'EBCDIC-CP-US'), 1, 1, /EBCDIC/],
  ['Latin-1 that is said to be UTF-8', latin1(CXF.replace('door', 't\u00fcr')), 6, 45, /not valid UTF-8/],
  ['no objects', CXF.replace(/ {3}<Object[\s\S]*<\/Object>/, ''), 1, 1, /no reading/],
  [
    'one Id twice',
    CXF.replace('  </ObjectCollection>', '<Object Id="o1" Name="x"/></ObjectCollection>'),
    13,
    1,
    /comes twice/,
  ],
  ['an object without an Id', CXF.replace(' Id="o1"', ''), 6, 4, /no Id/],
  ['no specification', CXF.replace('Id="as15"', 'Id="as16"'), 8, 6, /no ColorSpecification/],
  [
    'a value that names none',
    CXF.replace(' ColorSpecification="as15" StartWL', ' StartWL'),
    8,
    6,
    /names no ColorSpecification/,
  ],
  ['a specification twice', CXF.replace('Id="as110"', 'Id="as15"'), 21, 4, /comes twice/],
  ['no wavelength range', CXF.replace(/<WavelengthRange[^>]*>/, ''), 8, 6, /WavelengthRange/],
  ['a negative start', CXF.replace('StartWL="400">', 'StartWL="-400">'), 8, 6, /no wavelength/],
  ['a step of nothing', CXF.replace('Increment="10"', 'Increment="0"'), 8, 6, /do not rise/],
  ['a step without end', CXF.replace('Increment="10"', 'Increment="1e400"'), 19, 6, /too large/],
  ['a word in a spectrum', CXF.replace('0.0341', 'NaN'), 8, 81, /no measured value/],
  ['a decimal comma in a spectrum', CXF.replace('0.0341', '0,0341'), 8, 81, /decimal comma/],
  ['a reflectance of 3.5', CXF.replace('0.0341', '3.5'), 8, 81, /outside -0.1 to 3.0/],
  ['a spectrum of nothing', CXF.replace(/0\.0311.*0366/, ' '), 8, 6, /two wavelengths/],
  ['a spectrum without end', CXF.replace('0.0311', '0.5 '.repeat(2000)), 8, 6, /at most 1000/],
  ['no b*', CXF.replace('<B>9.81</B>', ''), 9, 6, /no B/],
  ['two L*', CXF.replace('<L>61.92</L>', '<L>61.92</L><L>62</L>'), 9, 60, /comes twice/],
];

describe('broken and hostile files', () => {
  it.each([...texts, ...cgats, ...csv, ...cxf])('%s', (_, content, line, column, message) => {
    const file = typeof content === 'string' ? bytes(content) : content;
    const { readings, findings } = readReadings(file, cxf.some((one) => one[1] === content) ? 'x.cxf' : 'x.txt');
    const first = findings.find(({ severity }) => severity === 'error');
    expect(readings).toEqual([]);
    expect(first?.message).toMatch(message);
    expect([first?.line, first?.column]).toEqual([line, column]);
    expect(first?.message).toMatch(/[;,:] .*\.$/);
  });

  it('says no more than a person can read', () => {
    const { findings } = readReadings(bytes(`name,L,a,b\n${'SAM,x,y,z\n'.repeat(1000)}`), 'x.csv');
    expect(findings.filter(({ severity }) => severity === 'error').length).toBeLessThan(25);
  });
});
