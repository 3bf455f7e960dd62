/** Fractions or per cent: exports rarely say which, so the figures are asked, and what was found is said. */
import type { Lab } from '../colour/lab.ts';
import { type FilePlace, type ImportFindings, quote } from './imported.ts';
import type { Grid } from './measured.ts';

export type Scale = 'fraction' | 'per cent';

export interface RawSpectrum {
  readonly grid: Grid;
  /** As in the file. */
  readonly values: Float64Array;
  /** The scale where the field itself names it. */
  readonly scale?: Scale | undefined;
  places(at: number): FilePlace;
}

type WithLab = RawSpectrum & { readonly lab?: Lab | undefined };

/** Above this no fraction goes (ISO 17972-1), so it is per cent. */
const SURELY_PER_CENT = 3;
/** Up to this a value is a fraction; between the two, a bright flake or a black panel: only a person knows. */
const SURELY_FRACTION = 1.5;

/** The scale of the spectra that do not say theirs; nothing, and an error, where it is open. */
export function detectScale(
  spectra: readonly WithLab[],
  said: Scale | undefined,
  findings: ImportFindings,
): Scale | undefined {
  const open = spectra.filter(({ scale }) => scale === undefined);
  if (open.length === 0) return spectra[0]?.scale;
  const { value, place } = largest(open);
  if (said) {
    findings.info(
      place,
      `Reflectances were read as ${said === 'fraction' ? 'fractions (1 is white)' : 'per cent'}, as was said.`,
    );
    return said;
  }
  const byLab = scaleByLab(open);
  if (byLab) {
    findings.info(place, `Reflectances were read as ${described(byLab)}, since so they agree with the L* beside them.`);
    return byLab;
  }
  if (value > SURELY_FRACTION && value <= SURELY_PER_CENT) {
    findings.error(
      place,
      `The largest reflectance is ${quote(String(value))}, which may be a fraction or per cent; say which scale the file has.`,
    );
    return undefined;
  }
  const scale = value > SURELY_PER_CENT ? 'per cent' : 'fraction';
  findings.info(
    place,
    `Reflectances were read as ${described(scale)}, since the largest is ${value}; say the scale if this is wrong.`,
  );
  return scale;
}

const described = (scale: Scale): string =>
  scale === 'fraction' ? 'fractions (1 is white)' : 'per cent (100 is white)';

function largest(spectra: readonly WithLab[]): { value: number; place: FilePlace } {
  let value = Number.NEGATIVE_INFINITY;
  let place = spectra[0]!.places(0);
  for (const spectrum of spectra) {
    for (const [at, one] of spectrum.values.entries()) {
      if (one <= value) continue;
      value = one;
      place = spectrum.places(at);
    }
  }
  return { value, place };
}

/**
 * The two scales lie a factor of 100 apart, so the mean of 520..590 nm, where the eye weighs most, tells them apart against the
 * luminance of the stated L* (CIE 15: Y = ((L* + 16) / 116)^3, or L* / 903.3 below 8). Every spectrum has to agree.
 */
function scaleByLab(spectra: readonly WithLab[]): Scale | undefined {
  const votes = new Set<Scale | undefined>();
  for (const { grid, values, lab } of spectra) {
    if (!lab || lab[0] < 2) continue;
    const middle = values.filter((_, at) => grid.start + at * grid.step >= 520 && grid.start + at * grid.step <= 590);
    if (middle.length === 0) continue;
    const mean = middle.reduce((sum, value) => sum + value, 0) / middle.length;
    const luminance = lab[0] > 8 ? ((lab[0] + 16) / 116) ** 3 : lab[0] / 903.3;
    const ratio = mean / luminance;
    votes.add(ratio > 0.2 && ratio < 5 ? 'fraction' : ratio > 20 && ratio < 500 ? 'per cent' : undefined);
  }
  return votes.size === 1 ? [...votes][0] : undefined;
}
