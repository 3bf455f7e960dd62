/** Numbers of a file made into a Lab or a spectrum, with the bounds that tell a measurement from a damaged file. */
import { isIlluminant } from '../colour/illuminants.ts';
import { type Lab, type LCh, labOfLch, labOfXyz } from '../colour/lab.ts';
import type { Observer } from '../colour/observers.ts';
import type { Spectrum } from '../colour/spectrum.ts';
import { tristimulusWeights, type XYZ } from '../colour/weights.ts';
import type { FilePlace, ImportFindings } from './imported.ts';

/** Reflectance factors, 1 = perfect diffuser. ISO 17972-1 bounds them so; flakes near the mirror angle do go above 1. */
export const LOWEST_REFLECTANCE = -0.1;
export const HIGHEST_REFLECTANCE = 3;
/** Flakes near the mirror angle reach L* of some 150; never clamped, only bounded. */
const HIGHEST_L = 300;
const HIGHEST_CHROMA = 500;

/** Nothing, and a finding at the place, where the figures cannot be a colour. */
export function checkedLab(lab: Lab, place: FilePlace, findings: ImportFindings): Lab | undefined {
  const [L, a, b] = lab;
  if (L < -1 || L > HIGHEST_L) {
    findings.error(place, `L* ${L} is no lightness; it runs from 0 upwards, near 100 for white. Check the columns.`);
    return undefined;
  }
  if (Math.abs(a) > HIGHEST_CHROMA || Math.abs(b) > HIGHEST_CHROMA) {
    findings.error(place, `a* ${a}, b* ${b} are far outside of any paint; check the columns.`);
    return undefined;
  }
  return lab;
}

/** Lab of L*, C*ab and hue in degrees, to 0.0001: a computed figure is not given more digits than any export carries. */
export const labOfCylinder = (lch: LCh): Lab => rounded(labOfLch(lch));

/** Lab, to 0.0001, of XYZ on the scale on which the perfect diffuser has Y = 100; nothing for an illuminant unknown to the book. */
export function labOfTristimulus(
  xyz: XYZ,
  illuminant: string | undefined,
  observer: Observer | undefined,
): Lab | undefined {
  if (illuminant === undefined || observer === undefined || !isIlluminant(illuminant)) return undefined;
  return rounded(labOfXyz(xyz, tristimulusWeights(illuminant, observer, 380, 5, 81).white));
}

const rounded = ([L, a, b]: Lab): Lab => [tenThousandth(L), tenThousandth(a), tenThousandth(b)];
const tenThousandth = (value: number): number => Math.round(value * 1e4) / 1e4 + 0;

/** Ends of the range in which a paint is measured, nm. */
const SHORTEST = 300;
const LONGEST = 1100;

export interface Grid {
  readonly start: number;
  readonly step: number;
}

/** Start and step of wavelengths in nm, or what is wrong and at which of them. */
export function gridOf(wavelengths: readonly number[]): Grid | { readonly at: number; readonly problem: string } {
  const outside = wavelengths.findIndex((nm) => nm < SHORTEST || nm > LONGEST);
  if (outside >= 0) {
    return {
      at: outside,
      problem: `${wavelengths[outside]} nm is no wavelength of a colour measurement; use ${SHORTEST} to ${LONGEST} nm.`,
    };
  }
  if (wavelengths.length < 2)
    return { at: 0, problem: 'A spectrum needs two wavelengths or more; export all of them.' };
  const start = wavelengths[0]!;
  const step = wavelengths[1]! - start;
  const uneven = wavelengths.findIndex((nm, at) => at > 0 && Math.abs(nm - wavelengths[at - 1]! - step) > 1e-6);
  if (step <= 0) return { at: 1, problem: 'Wavelengths do not rise; write them in rising order, each once.' };
  if (uneven >= 0) {
    return {
      at: uneven,
      problem: `The step is ${round(wavelengths[uneven]! - wavelengths[uneven - 1]!)} nm here and ${round(step)} nm before; export one even step.`,
    };
  }
  if (!Number.isInteger(start) || !Number.isInteger(step) || step > 20) {
    return {
      at: 0,
      problem: `A start of ${round(start)} nm with a step of ${round(step)} nm is not read; export whole nanometres, steps of 20 or less.`,
    };
  }
  return { start, step };
}

/** Checks the bounds; nothing, and a finding at the value, where one is outside. */
export function checkedSpectrum(
  grid: Grid,
  values: Float64Array,
  places: (at: number) => FilePlace,
  findings: ImportFindings,
): Spectrum | undefined {
  const outside = values.findIndex((value) => !(value >= LOWEST_REFLECTANCE && value <= HIGHEST_REFLECTANCE));
  if (outside < 0) return { ...grid, values };
  findings.error(
    places(outside),
    `A reflectance of ${round(values[outside]!)} (1 is the perfect diffuser) at ${grid.start + outside * grid.step} nm is outside -0.1 to 3.0; check the scale, or measure again.`,
  );
  return undefined;
}

const round = (value: number): number => Number(value.toPrecision(6));
