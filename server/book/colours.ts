/** The colours of a reading or a card: its takes averaged (spectra first, then Lab), left-out takes left out. */
import { type Lab, labOfSpectrum } from '../colour/lab.ts';
import { meanSpectrum, type Spectrum, sameWavelengths } from '../colour/spectrum.ts';
import { type Viewing, viewingText } from '../colour/viewing.ts';
import { type Bandpass, tristimulusWeights } from '../colour/weights.ts';
import type { Book } from './book.ts';
import type { EntryCell } from './cell.ts';
import type { Measured } from './entries/measured.ts';
import { viewingOf } from './entries/shop.ts';
import { importedInto } from './imported.ts';
import { measuredIn, shopOf } from './known.ts';

export interface SpectrumTake {
  readonly take: number;
  readonly spectrum: Spectrum;
}

export interface LabTake {
  readonly take: number;
  readonly lab: Lab;
}

/** All that was measured at one angle. */
export interface Angle {
  readonly geometry: string;
  readonly spectra: readonly SpectrumTake[];
  /** The mean spectrum, where the takes share their wavelengths. */
  readonly spectrum: Spectrum | undefined;
  /** Lab takes by viewing (`D65/10`). */
  readonly labs: ReadonlyMap<string, readonly LabTake[]>;
}

export interface Colours {
  readonly angles: readonly Angle[];
  readonly bandpass: Bandpass;
}

export function coloursIn(book: Book, cell: EntryCell): Colours {
  const compute = () => coloursOf(importedInto(book, cell, measuredIn(book, cell)), shopOf(book).viewings[0]!);
  return book.fact('colours', cell, compute, () => ({ angles: [], bandpass: 'corrected' as const })).get();
}

/** @param main the light of Lab lines that name none. */
export function coloursOf(measured: Measured, main: Viewing): Colours {
  const counts = (take: number, geometry: string) =>
    !measured.leftOut.some((out) => out.take === take && (out.geometry === undefined || out.geometry === geometry));
  const angles = new Map<string, { spectra: SpectrumTake[]; labs: Map<string, LabTake[]> }>();
  const angle = (geometry: string) => {
    const known = angles.get(geometry) ?? { spectra: [] as SpectrumTake[], labs: new Map<string, LabTake[]>() };
    angles.set(geometry, known);
    return known;
  };
  for (const { geometry, take, spectrum } of measured.spectra)
    if (counts(take, geometry) && whyColourless(spectrum, measured.bandpass) === undefined)
      angle(geometry).spectra.push({ take, spectrum });
  for (const { geometry, viewing, take, lab } of measured.labs) {
    const parsed = viewing === undefined ? main : viewingOf(viewing);
    if (!parsed || !counts(take, geometry)) continue;
    const { labs } = angle(geometry);
    const key = viewingText(parsed);
    labs.set(key, [...(labs.get(key) ?? []), { take, lab }]);
  }
  return {
    angles: [...angles]
      .map(([geometry, { spectra, labs }]) => ({ geometry, spectra, labs, spectrum: meanOf(spectra) }))
      .sort(byGeometry),
    bandpass: measured.bandpass,
  };
}

/** Why no colour can be computed from a spectrum: its step is too wide, or it lacks too much of the visible range. */
export function whyColourless({ start, step, values }: Spectrum, bandpass: Bandpass): string | undefined {
  try {
    tristimulusWeights('D65', '10', start, step, values.length, bandpass);
    return undefined;
  } catch (error) {
    if (error instanceof RangeError) return error.message;
    throw error;
  }
}

function meanOf(takes: readonly SpectrumTake[]): Spectrum | undefined {
  const first = takes[0];
  if (!first) return undefined;
  const alike = takes.filter((take) => sameWavelengths(take.spectrum, first.spectrum)).map((take) => take.spectrum);
  return alike.length === takes.length ? meanSpectrum(alike) : undefined;
}

/** From the gloss outwards; geometries without an aspecular angle keep their order behind them. */
function byGeometry(a: Angle, b: Angle): number {
  return aspecular(a.geometry) - aspecular(b.geometry);
}

const aspecular = (geometry: string): number => Number(/as(-?\d+)$/.exec(geometry)?.[1] ?? 1000);

/** The Lab of an angle under a viewing: from the mean spectrum, else the mean of Lab takes under just this viewing. */
export function labOf(angle: Angle, viewing: Viewing, bandpass: Bandpass): Lab | undefined {
  if (angle.spectrum) return labOfSpectrum(angle.spectrum, viewing.illuminant, viewing.observer, bandpass);
  const takes = angle.labs.get(viewingText(viewing));
  return takes && meanLab(takes.map((take) => take.lab));
}

export function meanLab(labs: readonly Lab[]): Lab {
  const mean = (axis: 0 | 1 | 2) => labs.reduce((total, lab) => total + lab[axis], 0) / labs.length;
  return [mean(0), mean(1), mean(2)];
}

/**
 * The takes that tell how well an angle repeats under a viewing: of spectra and Lab lines whichever are more, since one averaged
 * spectrum beside three Lab takes says nothing of how they scatter; of equally many the spectra.
 */
export function takesOf(angle: Angle, viewing: Viewing, bandpass: Bandpass): readonly LabTake[] {
  const stated = angle.labs.get(viewingText(viewing)) ?? [];
  if (angle.spectra.length < stated.length) return stated;
  return angle.spectra.map(({ take, spectrum }) => ({
    take,
    lab: labOfSpectrum(spectrum, viewing.illuminant, viewing.observer, bandpass),
  }));
}

/** What those takes are compared with: the colour of their mean spectrum, else the mean of their Lab. */
export function centreOf(angle: Angle, viewing: Viewing, bandpass: Bandpass): Lab | undefined {
  const takes = takesOf(angle, viewing, bandpass);
  if (takes.length === 0) return undefined;
  const stated = angle.labs.get(viewingText(viewing)) ?? [];
  const fromSpectra = angle.spectrum && angle.spectra.length >= stated.length;
  return fromSpectra ? labOf(angle, viewing, bandpass) : meanLab(takes.map((take) => take.lab));
}

export const angleAt = (colours: Colours, geometry: string): Angle | undefined =>
  colours.angles.find((angle) => angle.geometry === geometry);

/** Two colours at one angle. */
export interface AnglePair {
  readonly geometry: string;
  readonly standard: Lab;
  readonly sample: Lab;
}

/** The colours of two readings at every angle that both have under a viewing. */
export function anglesInCommon(standard: Colours, sample: Colours, viewing: Viewing): AnglePair[] {
  return standard.angles.flatMap((angle) => {
    const other = angleAt(sample, angle.geometry);
    const left = labOf(angle, viewing, standard.bandpass);
    const right = other && labOf(other, viewing, sample.bandpass);
    return left && right ? [{ geometry: angle.geometry, standard: left, sample: right }] : [];
  });
}
