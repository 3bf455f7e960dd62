/** Rows and objects of a file, gathered into readings: one reading a name, its values by geometry, viewing condition and take. */
import type { Spectrum } from '../colour/spectrum.ts';
import { FileRefused, type ImportedReading, type ImportedValue, type ImportFindings, quote } from './imported.ts';

export const MOST_VALUES = 20_000;
const LONGEST_NAME = 200;

interface Gathered {
  readonly key: string;
  readonly name: string;
  readonly specular: ImportedValue['specular'];
  taken?: string;
  instrument?: string;
  readonly values: ImportedValue[];
}

export interface ReadingHead {
  /** Rows of one key are one reading. */
  readonly key: string;
  readonly name: string;
  readonly taken?: string | undefined;
  readonly instrument?: string | undefined;
}

export class Gathering {
  readonly #readings = new Map<string, Gathered>();
  #values = 0;

  /** `numbersTakes`: whether values of one name and angle that do not say their take are repeats, in the order of the file. */
  constructor(
    readonly findings: ImportFindings,
    readonly numbersTakes: boolean,
  ) {}

  add(head: ReadingHead, value: ImportedValue): void {
    if (++this.#values > MOST_VALUES) {
      throw new FileRefused(`There are more than ${MOST_VALUES} values; export fewer readings at a time.`, value.place);
    }
    if (head.name.length > LONGEST_NAME) {
      this.findings.error(
        value.place,
        `The name ${quote(head.name)} is longer than ${LONGEST_NAME} characters; shorten it.`,
      );
    }
    const reading = this.#reading(head, value.specular);
    if (head.taken !== undefined) reading.taken ??= head.taken;
    if (head.instrument !== undefined) reading.instrument ??= head.instrument;
    reading.values.push(value);
  }

  /** With and without the specular part are two readings: the book writes both as d/8. */
  #reading(head: ReadingHead, specular: ImportedValue['specular']): Gathered {
    const key = `${head.key}\n${specular ?? ''}`;
    const known = this.#readings.get(key);
    if (known) return known;
    const reading: Gathered = { key: head.key, name: head.name, specular, values: [] };
    this.#readings.set(key, reading);
    return reading;
  }

  done(): ImportedReading[] {
    let numbered: ImportedValue | undefined;
    const parts = new Map<string, number>();
    for (const { key } of this.#readings.values()) parts.set(key, (parts.get(key) ?? 0) + 1);
    const readings = [...this.#readings.values()].map(({ key, specular, ...reading }) => {
      const values = this.numbersTakes ? withTakes(reading.values) : reading.values;
      numbered ??= values.find((value, at) => value.take !== reading.values[at]!.take);
      const name = parts.get(key)! > 1 && specular ? `${reading.name}, specular ${specular}` : reading.name;
      return { ...reading, name, values: this.#withoutTwice(reading.name, values) };
    });
    if (numbered && !this.findings.refused) {
      this.findings.info(
        numbered.place,
        'Several values of one name and angle do not say their take; they were numbered in the order of the file.',
      );
    }
    this.#remarkUnsaid(readings);
    return readings;
  }

  /** What the book will have to ask or assume is said once, at the first value that lacks it. */
  #remarkUnsaid(readings: readonly ImportedReading[]): void {
    const values = readings.flatMap((reading) => reading.values);
    const unlit = values.find(
      ({ lab, illuminant, observer }) => lab && (illuminant === undefined || observer === undefined),
    );
    if (unlit) {
      this.findings.info(
        unlit.place,
        'The file does not say the illuminant and observer of its Lab; the main ones of the book are taken.',
      );
    }
    const unknown = values.find(({ geometry }) => geometry === undefined);
    // Where takes are not numbered, the reader has named the specification that lacks its angle.
    if (unknown && this.numbersTakes) {
      this.findings.warning(
        unknown.place,
        'The file does not say at which angle it was measured; write the geometry into the reading.',
      );
    }
  }

  /** A spectrum repeated beside the Lab of another illuminant is dropped; anything else that comes twice is an error. */
  #withoutTwice(name: string, values: ImportedValue[]): ImportedValue[] {
    const seen = new Map<string, ImportedValue>();
    const twice = (key: string, value: ImportedValue): ImportedValue | undefined => {
      const first = seen.get(key);
      if (!first) seen.set(key, value);
      return first;
    };
    return values.flatMap((value) => {
      const lab = value.lab && twice(`lab ${angle(value)} ${viewing(value)}`, value);
      const spectrum = value.spectrum && twice(`spectrum ${angle(value)}`, value);
      if (lab) return this.#error(name, value, lab);
      if (!spectrum) return [value];
      if (!sameSpectrum(value.spectrum!, spectrum.spectrum!)) return this.#error(name, value, spectrum);
      const { spectrum: _, ...rest } = value;
      return rest.lab ? [rest] : this.#error(name, value, spectrum);
    });
  }

  #error(name: string, value: ImportedValue, first: ImportedValue): [] {
    const where = [value.geometry && `at ${value.geometry}`, value.take && `take ${value.take}`]
      .filter(Boolean)
      .join(', ');
    this.findings.error(
      value.place,
      `${quote(name)} has two values${where && ` ${where}`}, the first in line ${first.place.line}; number them with different takes, or remove one.`,
    );
    return [];
  }
}

const angle = (value: ImportedValue): string => `${value.geometry ?? '?'} ${value.take ?? ''}`;
const viewing = (value: ImportedValue): string => `${value.illuminant ?? '?'}/${value.observer ?? '?'}`;
const slot = (value: ImportedValue): string =>
  value.lab ? `lab ${value.geometry} ${viewing(value)}` : `spectrum ${value.geometry}`;

/** Numbers the takes of values that share a slot and do not say theirs. */
function withTakes(values: readonly ImportedValue[]): ImportedValue[] {
  const untold = new Map<string, number>();
  for (const value of values) {
    if (value.take === undefined) untold.set(slot(value), (untold.get(slot(value)) ?? 0) + 1);
  }
  const next = new Map<string, number>();
  return values.map((value) => {
    if (value.take !== undefined || (untold.get(slot(value)) ?? 0) < 2) return value;
    const take = (next.get(slot(value)) ?? 0) + 1;
    next.set(slot(value), take);
    return { ...value, take };
  });
}

const sameSpectrum = (one: Spectrum, other: Spectrum): boolean =>
  one.start === other.start &&
  one.step === other.step &&
  one.values.length === other.values.length &&
  one.values.every((value, at) => value === other.values[at]);
