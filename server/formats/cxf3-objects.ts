/** CxF3 objects, once the whole file is read: each value is joined with the ColorSpecification that it names, and becomes a reading. */
import type { Lab } from '../colour/lab.ts';
import type { Observer } from '../colour/observers.ts';
import type { Spectrum } from '../colour/spectrum.ts';
import type { Bandpass } from '../colour/weights.ts';
import { Gathering } from './gathering.ts';
import { anglesGeometry, aspecularGeometry, dateOf, illuminantOf, observerOf, specularOf } from './geometry.ts';
import { type FilePlace, type ImportedReading, type ImportedValue, type ImportFindings, quote } from './imported.ts';
import { checkedLab, checkedSpectrum, gridOf, labOfCylinder, labOfTristimulus } from './measured.ts';
import { readNumber } from './number.ts';

/** Text of an element, and where it begins. */
export interface Said {
  readonly text: string;
  readonly place: FilePlace;
}

export interface CxfValue {
  readonly kind: 'spectrum' | 'lab' | 'lch' | 'xyz';
  readonly place: FilePlace;
  readonly specification: string;
  /** Of a spectrum: the numbers, as they stand in the file. */
  text: string;
  textPlace: FilePlace;
  start?: string;
  /** Of a colour: its child elements. */
  readonly figures: Map<string, Said>;
}

export interface CxfObject {
  readonly id: string;
  readonly name: string;
  readonly place: FilePlace;
  readonly values: CxfValue[];
  created?: Said;
}

export interface CxfAngle {
  readonly place: FilePlace;
  illumination?: Said;
  viewing?: Said;
  aspecular?: Said;
  azimuth?: Said;
}

export interface CxfSpecification {
  readonly id: string;
  readonly place: FilePlace;
  readonly angles: CxfAngle[];
  illuminant?: Said;
  observer?: Said;
  method?: Said;
  type?: Said;
  sphere?: Said;
  otherGeometry?: Said;
  instrument?: string;
  range?: { readonly start: string | undefined; readonly increment: string | undefined; readonly place: FilePlace };
}

/** What a ColorSpecification says, in the book's terms. */
interface Condition {
  readonly illuminant?: string | undefined;
  readonly observer?: Observer | undefined;
  readonly bandpass?: Bandpass | undefined;
  readonly geometry?: string | undefined;
  readonly specular?: 'included' | 'excluded' | undefined;
  readonly instrument?: string | undefined;
  /** nm, as written. */
  readonly start?: number | undefined;
  readonly step?: number | undefined;
  /** Light that a paint does not reflect: such values are no readings. */
  readonly reflectance: boolean;
}

/** Readings of the objects, one each; objects without a spectrum or a colour have none. */
export function resolveObjects(
  objects: readonly CxfObject[],
  specifications: ReadonlyMap<string, CxfSpecification>,
  findings: ImportFindings,
): ImportedReading[] {
  const conditions = new Map<string, Condition>();
  const condition = (specification: CxfSpecification): Condition => {
    const known = conditions.get(specification.id) ?? conditionOf(specification, findings);
    conditions.set(specification.id, known);
    return known;
  };
  const gathering = new Gathering(findings, false);
  for (const object of objects) {
    const taken = takenOf(object, findings);
    for (const value of preferred(object.values)) {
      const specification = specifications.get(value.specification);
      if (!specification) {
        findings.error(value.place, specificationMissing(value.specification));
        continue;
      }
      const under = condition(specification);
      const imported = under.reflectance ? importedValue(value, under, findings) : undefined;
      const head = { key: object.id, name: object.name, taken, instrument: under.instrument };
      if (imported) gathering.add(head, imported);
    }
  }
  return gathering.done().map((reading) => ({ ...reading, values: joined(reading.values) }));
}

const specificationMissing = (id: string): string =>
  id === ''
    ? 'The value names no ColorSpecification, so light and angle are unknown; name one.'
    : `There is no ColorSpecification ${quote(id)} in the file; it is cut short or the Id is wrong.`;

function takenOf({ created }: CxfObject, findings: ImportFindings): string | undefined {
  if (!created || created.text === '') return undefined;
  const taken = dateOf(created.text);
  if (taken === undefined) {
    findings.warning(
      created.place,
      `${quote(created.text)} is no date that is read; write it like 2026-10-14T09:20:00Z.`,
    );
  }
  return taken;
}

/** One colour often stands in several forms under one specification: Lab is taken before LCh, and both before XYZ. */
function preferred(values: readonly CxfValue[]): CxfValue[] {
  const has = (kind: CxfValue['kind'], { specification }: CxfValue): boolean =>
    values.some((other) => other.kind === kind && other.specification === specification);
  return values.filter((value) => {
    if (value.kind === 'lch') return !has('lab', value);
    return value.kind !== 'xyz' || !(has('lab', value) || has('lch', value) || has('spectrum', value));
  });
}

/** A spectrum and a Lab of the same angle are one value. */
function joined(values: readonly ImportedValue[]): ImportedValue[] {
  const result: ImportedValue[] = [];
  for (const value of values) {
    const at = result.findIndex(
      (other) => fits(value, other) && (other.lab === undefined) !== (value.lab === undefined),
    );
    if (at < 0) result.push(value);
    else result[at] = { ...value, ...result[at]! };
  }
  return result;
}

const fits = (one: ImportedValue, other: ImportedValue): boolean =>
  one.geometry === other.geometry &&
  one.take === other.take &&
  one.illuminant === other.illuminant &&
  one.observer === other.observer;

// ---- conditions

function conditionOf(specification: CxfSpecification, findings: ImportFindings): Condition {
  const { type, range, method, instrument } = specification;
  if (type && /emissive|transmi|density/i.test(type.text)) {
    findings.warning(type.place, `Values of ${quote(type.text)} are no reflectance of a paint and were left out.`);
    return { reflectance: false };
  }
  return {
    reflectance: true,
    instrument: instrument || undefined,
    illuminant: meant(specification.illuminant, illuminantOf, 'illuminant', 'D65', findings),
    observer: meant(specification.observer, observerOf, 'observer', '10_Degree', findings),
    bandpass: bandpassOf(method?.text),
    ...geometryIn(specification, findings),
    start: range?.start === undefined ? undefined : number({ text: range.start, place: range.place }, findings),
    step: range?.increment === undefined ? undefined : number({ text: range.increment, place: range.place }, findings),
  };
}

/** ASTM E308 tables: 5 is for spectra already corrected for bandpass, 6 for uncorrected ones. */
function bandpassOf(method: string | undefined): Bandpass | undefined {
  if (method === 'E308_Table5') return 'corrected';
  return method === 'E308_Table6' ? 'uncorrected' : undefined;
}

function meant<T>(
  said: Said | undefined,
  meaning: (text: string) => T | undefined,
  what: string,
  example: string,
  findings: ImportFindings,
): T | undefined {
  if (!said || said.text === '') return undefined;
  const value = meaning(said.text);
  if (value === undefined)
    findings.warning(said.place, `${quote(said.text)} is no ${what} that is read; write it like ${example}.`);
  return value;
}

function geometryIn(
  specification: CxfSpecification,
  findings: ImportFindings,
): Pick<Condition, 'geometry' | 'specular'> {
  const { sphere, angles, otherGeometry, id } = specification;
  // The standard names only the sphere; its instruments view at 8 degrees (ISO 7724-2, CIE 015).
  if (sphere) return { geometry: 'd/8', specular: specularOf(sphere.text) };
  if (otherGeometry) {
    findings.warning(
      otherGeometry.place,
      `The geometry of ${quote(id)} is ${quote(otherGeometry.text)}; write the geometry into the reading.`,
    );
    return {};
  }
  if (angles.length === 1) return { geometry: angleGeometry(angles[0]!, findings) };
  findings.warning(
    specification.place,
    angles.length === 0
      ? `The ColorSpecification ${quote(id)} does not say its geometry; write it into the reading.`
      : `The ColorSpecification ${quote(id)} has ${angles.length} angles for one value, so the angle is unknown; give each angle its own.`,
  );
  return {};
}

function angleGeometry(angle: CxfAngle, findings: ImportFindings): string | undefined {
  const degrees = (said: Said | undefined): number | undefined => said && number(said, findings);
  const illumination = degrees(angle.illumination);
  const aspecular = degrees(angle.aspecular);
  const viewing = degrees(angle.viewing);
  const azimuth = degrees(angle.azimuth) ?? 0;
  if (azimuth !== 0) {
    findings.warning(
      angle.azimuth!.place,
      `An azimuth of ${azimuth} degrees is out of the plane of the angles that the book knows; write the geometry into the reading.`,
    );
    return undefined;
  }
  const geometry =
    illumination === undefined
      ? undefined
      : aspecular !== undefined
        ? aspecularGeometry(illumination, aspecular)
        : viewing !== undefined
          ? anglesGeometry(illumination, viewing)
          : undefined;
  if (geometry === undefined) {
    findings.warning(
      angle.place,
      'The angles are no geometry that the book knows; use whole degrees, as in 45 and aspecular 15.',
    );
  }
  return geometry;
}

// ---- values

function importedValue(value: CxfValue, under: Condition, findings: ImportFindings): ImportedValue | undefined {
  const spectrum = value.kind === 'spectrum' ? spectrumOf(value, under, findings) : undefined;
  const lab = value.kind === 'spectrum' ? undefined : colourOf(value, under, findings);
  if (!spectrum && !lab) return undefined;
  const { geometry, specular, illuminant, observer, bandpass } = under;
  return {
    ...(geometry !== undefined && { geometry }),
    ...(specular !== undefined && { specular }),
    ...(illuminant !== undefined && { illuminant }),
    ...(observer !== undefined && { observer }),
    ...(bandpass !== undefined && spectrum && { bandpass }),
    ...(lab && { lab }),
    ...(spectrum && { spectrum }),
    place: value.place,
  };
}

const MOST_WAVELENGTHS = 1_000;

function spectrumOf(value: CxfValue, under: Condition, findings: ImportFindings): Spectrum | undefined {
  const start = value.start === undefined ? under.start : number({ text: value.start, place: value.place }, findings);
  if (start === undefined || under.step === undefined) {
    findings.error(
      value.place,
      'The spectrum does not say where it starts or its step; give its ColorSpecification a WavelengthRange.',
    );
    return undefined;
  }
  const atoms = [...value.text.matchAll(/\S+/g)];
  if (atoms.length > MOST_WAVELENGTHS) {
    findings.error(
      value.place,
      `The spectrum has ${atoms.length} values; export whole nanometres, at most ${MOST_WAVELENGTHS}.`,
    );
    return undefined;
  }
  const grid = gridOf(atoms.map((_, at) => start + at * under.step!));
  if (!('start' in grid)) {
    findings.error(value.place, grid.problem);
    return undefined;
  }
  const places = (at: number): FilePlace => placeInside(value.textPlace, value.text, atoms[at]!.index);
  const numbers = atoms.map(([atom], at) => {
    const read = readNumber(atom);
    if ('value' in read) return read.value;
    findings.error(places(at), read.problem);
    return undefined;
  });
  return numbers.includes(undefined)
    ? undefined
    : checkedSpectrum(grid, Float64Array.from(numbers as number[]), places, findings);
}

function placeInside(start: FilePlace, text: string, offset: number): FilePlace {
  const before = text.slice(0, offset).split('\n');
  if (before.length === 1) return { line: start.line, column: start.column + offset };
  return { line: start.line + before.length - 1, column: before.at(-1)!.length + 1 };
}

const FIGURES = { lab: ['L', 'A', 'B'], lch: ['L', 'C', 'H'], xyz: ['X', 'Y', 'Z'] } as const;

function colourOf(value: CxfValue, under: Condition, findings: ImportFindings): Lab | undefined {
  if (value.kind === 'spectrum') return undefined;
  const numbers = FIGURES[value.kind].map((name) => {
    const said = value.figures.get(name);
    if (said) return number(said, findings);
    findings.error(
      value.place,
      `The colour has no ${name}; export ${FIGURES[value.kind as 'lab'].join(', ')} together.`,
    );
    return undefined;
  });
  if (numbers.includes(undefined)) return undefined;
  const figures = numbers as [number, number, number];
  if (value.kind === 'lab') return checkedLab(figures, value.place, findings);
  if (value.kind === 'lch') return checkedLab(labOfCylinder(figures), value.place, findings);
  const lab = labOfTristimulus(figures, under.illuminant, under.observer);
  if (lab) return checkedLab(lab, value.place, findings);
  findings.error(
    value.place,
    'XYZ needs an illuminant and an observer that the book knows to become Lab; name them, or export Lab.',
  );
  return undefined;
}

function number(said: Said, findings: ImportFindings): number | undefined {
  const read = readNumber(said.text);
  if ('value' in read) return read.value;
  findings.error(said.place, read.problem);
  return undefined;
}
