/** What the columns of a table mean, by their names in CGATS.17 and in plain CSV. */

export type Field =
  | {
      readonly is:
        | 'id'
        | 'name'
        | 'take'
        | 'geometry'
        | 'illuminant'
        | 'observer'
        | 'taken'
        | 'instrument'
        | 'bandpass';
    }
  | { readonly is: 'lab' | 'lch' | 'xyz'; readonly at: 0 | 1 | 2 }
  /** A column of its own for one wavelength. */
  | { readonly is: 'reflectance'; readonly nm: number }
  /** CGATS.17 pairs: a wavelength, and the value that follows it, in per cent or as a fraction. */
  | { readonly is: 'wavelength' | 'per cent' | 'fraction' }
  | { readonly is: 'unread' };

/** Upper case; CGATS.17 names first, then the short ones of CSV. */
const NAMED: Readonly<Record<string, Field>> = {
  SAMPLE_ID: { is: 'id' },
  SAMPLEID: { is: 'id' },
  ID: { is: 'id' },
  SAMPLE_NAME: { is: 'name' },
  SAMPLENAME: { is: 'name' },
  'SAMPLE NAME': { is: 'name' },
  SAMPLE: { is: 'name' },
  NAME: { is: 'name' },
  TAKE: { is: 'take' },
  GEOMETRY: { is: 'geometry' },
  ILLUMINANT: { is: 'illuminant' },
  OBSERVER: { is: 'observer' },
  TAKEN: { is: 'taken' },
  DATE: { is: 'taken' },
  CREATED: { is: 'taken' },
  INSTRUMENT: { is: 'instrument' },
  BANDPASS: { is: 'bandpass' },
  LAB_L: { is: 'lab', at: 0 },
  LAB_A: { is: 'lab', at: 1 },
  LAB_B: { is: 'lab', at: 2 },
  LCH_L: { is: 'lch', at: 0 },
  LCH_C: { is: 'lch', at: 1 },
  LCH_H: { is: 'lch', at: 2 },
  XYZ_X: { is: 'xyz', at: 0 },
  XYZ_Y: { is: 'xyz', at: 1 },
  XYZ_Z: { is: 'xyz', at: 2 },
  SPECTRAL_NM: { is: 'wavelength' },
  SPECTRAL_PCT: { is: 'per cent' },
  SPECTRAL_DEC: { is: 'fraction' },
};

const PLAIN: Readonly<Record<string, Field>> = {
  L: { is: 'lab', at: 0 },
  'L*': { is: 'lab', at: 0 },
  A: { is: 'lab', at: 1 },
  'A*': { is: 'lab', at: 1 },
  B: { is: 'lab', at: 2 },
  'B*': { is: 'lab', at: 2 },
  C: { is: 'lch', at: 1 },
  'C*': { is: 'lch', at: 1 },
  H: { is: 'lch', at: 2 },
  X: { is: 'xyz', at: 0 },
  Y: { is: 'xyz', at: 1 },
  Z: { is: 'xyz', at: 2 },
};

const WAVELENGTH = /^(?:SPECTRAL_?NM_?|SPECTRAL_?|SPEC_?|NM_?|R_?)(-?\d+(?:\.\d+)?)(?:_?NM)?$/;
const BARE_WAVELENGTH = /^(-?\d+(?:\.\d+)?)(?: ?NM)?$/;

export function cgatsField(name: string): Field {
  const upper = name.toUpperCase();
  return own(NAMED, upper) ?? wavelength(WAVELENGTH, upper) ?? { is: 'unread' };
}

/** A CSV column also goes by its short name, and a bare number is a wavelength in nm. */
export function csvField(name: string): Field {
  const upper = name.trim().toUpperCase();
  return (
    own(NAMED, upper) ??
    own(PLAIN, upper) ??
    wavelength(WAVELENGTH, upper) ??
    wavelength(BARE_WAVELENGTH, upper) ?? { is: 'unread' }
  );
}

/** Whether the cells of this column are measured numbers, so that a decimal comma matters in them. */
export function isMeasured(field: Field): boolean {
  return ['lab', 'lch', 'xyz', 'reflectance', 'per cent', 'fraction'].includes(field.is);
}

const own = (table: Readonly<Record<string, Field>>, name: string): Field | undefined =>
  Object.hasOwn(table, name) ? table[name] : undefined;

function wavelength(pattern: RegExp, name: string): Field | undefined {
  const found = pattern.exec(name);
  return found ? { is: 'reflectance', nm: Number(found[1]) } : undefined;
}
