/**
 * A grey undercoat of any lightness from two ends, a light and a dark one.
 *
 * A grey is not linear in mass: a little black goes a long way. By two-flux theory K/S of a mixture with the share d of
 * the dark end is ((1-d) t0 + d s t1)/((1-d) + d s), where t0 and t1 belong to the ends and s is how much the dark end
 * scatters against the light one. Every measured step between the ends gives s exactly; between steps ln s is
 * interpolated, so that the curve passes through all that was measured.
 */
import { absorptionOverScattering } from './kubelka-munk.ts';
import { luminanceOfLightness } from './munsell.ts';
import { internalReflectance, type Surface } from './surface.ts';

/** One measured step: the lightness that a mixture came out at. */
export interface GreyStep {
  /** L* as measured. */
  readonly lightness: number;
  /** Share of the dark end, by weight, 0..1. */
  readonly dark: number;
}

export interface GreyMixture {
  readonly lightness: number;
  /** Shares by weight, together 1. */
  readonly light: number;
  readonly dark: number;
  /** 'measured' for a step itself, 'interpolated' between steps, 'assumed' when only the two ends were measured. */
  readonly basis: 'measured' | 'interpolated' | 'assumed';
}

/** Scattering of a dark end against a light one when no step between them is measured: a guess, and said to be one. */
const assumedScattering = 0.1;

/**
 * The mixture of lightness L*.
 * Errors: RangeError when an end (dark 0 and dark 1) is missing, when more of the dark end was measured lighter, or when
 * the grey asked for lies beyond the ends.
 */
export function greyMixture(steps: readonly GreyStep[], lightness: number, surface: Surface): GreyMixture {
  const sorted = checked(steps);
  const lightest = sorted[0]!;
  const darkest = sorted.at(-1)!;
  if (!(lightness <= lightest.lightness && lightness >= darkest.lightness)) {
    throw new RangeError(
      `the undercoat reaches from L* ${darkest.lightness.toFixed(1)} to L* ${lightest.lightness.toFixed(1)}, ` +
        `not L* ${lightness.toFixed(1)}`,
    );
  }
  const same = sorted.find((step) => step.lightness === lightness);
  if (same !== undefined) return { lightness, light: 1 - same.dark, dark: same.dark, basis: 'measured' };
  const lower = sorted.findIndex((step) => step.lightness < lightness);
  const dark = shareBetween(sorted, lower, lightness, surface);
  return { lightness, light: 1 - dark, dark, basis: sorted.length > 2 ? 'interpolated' : 'assumed' };
}

/** L* that a mixture with this share of the dark end is expected to have. Errors: as greyMixture. */
export function greyLightness(steps: readonly GreyStep[], dark: number, surface: Surface): number {
  const sorted = checked(steps);
  let low = sorted.at(-1)!.lightness;
  let high = sorted[0]!.lightness;
  for (let i = 0; i < 50; i++) {
    const middle = (low + high) / 2;
    if (greyMixture(sorted, middle, surface).dark > dark) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

function checked(steps: readonly GreyStep[]): GreyStep[] {
  const sorted = steps.slice().sort((a, b) => a.dark - b.dark);
  if (sorted[0]?.dark !== 0 || sorted.at(-1)!.dark !== 1) {
    throw new RangeError('an undercoat needs both its ends measured: all light and all dark');
  }
  sorted.forEach((step, i) => {
    const before = sorted[i - 1];
    if (before !== undefined && !(step.lightness < before.lightness)) {
      throw new RangeError(
        `more of the dark end must be darker: ${(100 * step.dark).toFixed(1)} % was measured at L* ` +
          `${step.lightness.toFixed(1)}, ${(100 * before.dark).toFixed(1)} % at L* ${before.lightness.toFixed(1)}`,
      );
    }
  });
  return sorted;
}

function thetaOf(lightness: number, surface: Surface): number {
  return absorptionOverScattering(internalReflectance(surface, luminanceOfLightness(lightness) / 100));
}

/** Share of the dark end for a grey between steps `lower - 1` and `lower` of the sorted steps. */
function shareBetween(steps: readonly GreyStep[], lower: number, lightness: number, surface: Surface): number {
  const light = thetaOf(steps[0]!.lightness, surface);
  const dark = thetaOf(steps.at(-1)!.lightness, surface);
  const theta = thetaOf(lightness, surface);
  const scatteringAt = (i: number): number | undefined => {
    const step = steps[i]!;
    if (step.dark === 0 || step.dark === 1) return undefined;
    const here = thetaOf(step.lightness, surface);
    return ((1 - step.dark) * (here - light)) / (step.dark * (dark - here));
  };
  const above = scatteringAt(lower - 1);
  const below = scatteringAt(lower);
  const first = above ?? below ?? assumedScattering;
  const last = below ?? above ?? assumedScattering;
  const ratio = (theta - light) / (dark - theta);
  // (1-d) ratio = d s, with ln s running from one step to the next in the share itself.
  const from = steps[lower - 1]!.dark;
  const to = steps[lower]!.dark;
  let low = from;
  let high = to;
  for (let i = 0; i < 60; i++) {
    const d = (low + high) / 2;
    const s = first * (last / first) ** ((d - from) / (to - from));
    // The share that gives this grey at the present s, against the share tried.
    if (d * s < (1 - d) * ratio) low = d;
    else high = d;
  }
  return (low + high) / 2;
}
