/** Readings and cards as they are written: which values were taken at which angle, by which take. */

import { type Entry, type Line, lineOf, linesOf, text } from '../../../grammar/tree.ts';
import { type CoatLines, readCoats } from './formula.ts';
import { curveIn, type StatedCurve } from './toner.ts';
import { baseIn, type Grey, greyIn, numberIn } from './written.ts';

export interface LabLine {
  readonly geometry: string;
  /** As written; nothing means the main viewing of the book. */
  readonly viewing: string | undefined;
  readonly take: number;
  readonly lab: readonly [number, number, number];
  readonly line: Line;
}

export interface SpectrumLine {
  readonly geometry: string;
  readonly take: number;
  readonly spectrum: StatedCurve;
  readonly line: Line;
}

export interface AppearanceLine {
  readonly geometry: string | undefined;
  readonly take: number;
  readonly value: number;
}

export interface LeftOut {
  readonly take: number;
  readonly geometry: string | undefined;
  readonly reason: string;
}

export interface Surface {
  readonly cleared: boolean;
  readonly polished: boolean | undefined;
  /** Degrees Celsius. */
  readonly temperature: number | undefined;
}

export interface Measured {
  readonly id: string;
  readonly name: string;
  readonly taken: string | undefined;
  readonly takenLine: Line | undefined;
  readonly instrument: string | undefined;
  readonly surface: Surface | undefined;
  readonly bandpass: 'corrected' | 'uncorrected';
  readonly labs: readonly LabLine[];
  readonly spectra: readonly SpectrumLine[];
  readonly sparkle: readonly AppearanceLine[];
  readonly graininess: readonly AppearanceLine[];
  readonly leftOut: readonly LeftOut[];
  readonly file: { readonly name: string; readonly sample: string | undefined; readonly line: Line } | undefined;
  readonly notes: readonly string[];
}

/** A spray-out or drawdown card: what it read, and what was really on it. */
export interface Card extends Measured {
  readonly formula: string | undefined;
  readonly made: { readonly on: string; readonly by: string | undefined } | undefined;
  readonly over:
    | { readonly undercoat: string; readonly grey: Grey | undefined }
    | { readonly formula: string }
    | { readonly chart: 'black' | 'white' }
    | undefined;
  /** Dry film, um. */
  readonly film: number | undefined;
  readonly coatsSprayed: number | undefined;
  readonly batch: string | undefined;
  readonly coats: readonly CoatLines[];
}

export function readMeasured(entry: Entry): Measured {
  const taken = lineOf(entry, 'taken') ?? lineOf(entry, 'measured');
  const file = lineOf(entry, 'file');
  const fileName = text(file, 'file');
  return {
    id: text(entry.head, 'id') ?? '',
    name: text(entry.head, 'name') ?? '',
    taken: text(taken, 'when'),
    takenLine: taken,
    instrument: text(taken, 'instrument'),
    surface: readSurface(lineOf(entry, 'surface')),
    bandpass: text(lineOf(entry, 'bandpass'), 'bandpass') === 'uncorrected' ? 'uncorrected' : 'corrected',
    labs: linesOf(entry, 'lab').flatMap((line) => readLab(line) ?? []),
    spectra: linesOf(entry, 'spectrum').flatMap((line) => readSpectrum(line) ?? []),
    sparkle: appearance(entry, 'sparkle'),
    graininess: appearance(entry, 'graininess'),
    leftOut: linesOf(entry, 'without').flatMap((line) => {
      const take = numberIn(line, 'take');
      return take === undefined ? [] : [{ take, geometry: text(line, 'geometry'), reason: text(line, 'reason') ?? '' }];
    }),
    file: file && fileName !== undefined ? { name: fileName, sample: text(file, 'sample'), line: file } : undefined,
    notes: linesOf(entry, 'note').flatMap((line) => text(line, 'text') ?? []),
  };
}

export function readCard(entry: Entry): Card {
  const made = lineOf(entry, 'sprayed') ?? lineOf(entry, 'drawn');
  const film = lineOf(entry, 'film');
  const on = text(made, 'when');
  return {
    ...readMeasured(entry),
    formula: entry.kind === 'sprayout' ? text(entry.head, 'formula') : undefined,
    made: on === undefined ? undefined : { on, by: text(made, 'who') },
    over: readOver(lineOf(entry, 'over')),
    film: baseIn(film, 'thickness', 'length')?.valueOf(),
    coatsSprayed: numberIn(film, 'coats'),
    batch: text(lineOf(entry, 'from'), 'batch'),
    coats: readCoats(entry),
  };
}

function readOver(line: Line | undefined): Card['over'] {
  const chart = text(line, 'chart') as 'black' | 'white' | undefined;
  if (chart) return { chart };
  const formula = text(line, 'formula');
  if (formula !== undefined) return { formula };
  const undercoat = text(line, 'undercoat');
  return undercoat === undefined ? undefined : { undercoat, grey: greyIn(line) };
}

function readSurface(line: Line | undefined): Surface | undefined {
  const clear = text(line, 'clear');
  if (clear === undefined) return undefined;
  const polish = text(line, 'polish');
  return {
    cleared: clear === 'cleared',
    polished: polish === undefined ? undefined : polish === 'polished',
    temperature: baseIn(line, 'temperature', 'temperature')?.valueOf(),
  };
}

function readLab(line: Line): LabLine | undefined {
  const geometry = text(line, 'geometry');
  const L = numberIn(line, 'L');
  const a = numberIn(line, 'a');
  const b = numberIn(line, 'b');
  if (geometry === undefined || L === undefined || a === undefined || b === undefined) return undefined;
  return { geometry, viewing: text(line, 'viewing'), take: numberIn(line, 'take') ?? 1, lab: [L, a, b], line };
}

function readSpectrum(line: Line): SpectrumLine | undefined {
  const geometry = text(line, 'geometry');
  const spectrum = curveIn(line);
  if (geometry === undefined || !spectrum) return undefined;
  return { geometry, take: numberIn(line, 'take') ?? 1, spectrum, line };
}

function appearance(entry: Entry, word: string): AppearanceLine[] {
  return linesOf(entry, word).flatMap((line) => {
    const value = numberIn(line, 'value');
    return value === undefined ? [] : [{ geometry: text(line, 'geometry'), take: numberIn(line, 'take') ?? 1, value }];
  });
}
