import {
  differenceCie76,
  differenceCie94,
  differenceCiede2000,
  differenceCmc,
  differenceEuclidean,
  modeDlab,
  modeLab65,
  useMode,
} from 'culori/fn';
import { chroma, type Lab } from './lab.ts';

useMode(modeLab65);
useMode(modeDlab);

/** One pair of culori colours to one figure. */
type Formula = (standard: CuloriLab, sample: CuloriLab) => number;

interface CuloriLab {
  readonly mode: 'lab65';
  readonly l: number;
  readonly a: number;
  readonly b: number;
}

interface MetricRow {
  /** As a person reads it. */
  readonly title: string;
  readonly source: string;
  readonly formula: Formula;
}

// culori's plain 'lab' is D50 and is silently adapted to D65 by some formulas; 'lab65' goes in as it stands, whatever the light.
const culori = ([l, a, b]: Lab): CuloriLab => ({ mode: 'lab65', l, a, b });

const TABLE = {
  dE76: { title: 'ΔE*ab', source: 'CIE 015; ISO/CIE 11664-4', formula: differenceCie76() },
  dE94: { title: 'ΔE94, graphic arts', source: 'CIE 116-1995', formula: differenceCie94() },
  dE94t: { title: 'ΔE94, textiles', source: 'CIE 116-1995', formula: differenceCie94(2, 0.048, 0.014) },
  dEcmc: { title: 'ΔE CMC(2:1)', source: 'ISO 105-J03', formula: differenceCmc(2, 1) },
  dEcmc11: { title: 'ΔE CMC(1:1)', source: 'ISO 105-J03', formula: differenceCmc(1, 1) },
  dE00: { title: 'ΔE00', source: 'ISO/CIE 11664-6', formula: differenceCiede2000() },
  dE00kL2: { title: 'ΔE00(2:1:1)', source: 'ISO/CIE 11664-6', formula: differenceCiede2000(2, 1, 1) },
  din99o: { title: 'ΔE99o', source: 'DIN 6176', formula: differenceEuclidean('dlab', [1, 1, 1, 0]) },
} as const satisfies Record<string, MetricRow>;

/** A colour-difference formula, by the name that it has in the language and in JSON. */
export type Metric = keyof typeof TABLE;

export const METRICS = Object.keys(TABLE) as readonly Metric[];

export function isMetric(name: string): name is Metric {
  return Object.hasOwn(TABLE, name);
}

export function metricTitle(metric: Metric): string {
  return TABLE[metric].title;
}

/** The standard that defines the formula. */
export function metricSource(metric: Metric): string {
  return TABLE[metric].source;
}

/**
 * The difference of a sample from a standard. Which is which matters: CIE94 and CMC take their weights from the standard.
 * Both colours are for one illuminant and observer.
 */
export function difference(metric: Metric, standard: Lab, sample: Lab): number {
  return settled(TABLE[metric].formula(culori(standard), culori(sample)), standard, sample);
}

/** CMC with any l and c, ISO 105-J03: 2:1 for acceptance, 1:1 for perception. */
export function differenceCMC(l: number, c: number, standard: Lab, sample: Lab): number {
  return settled(differenceCmc(l, c)(culori(standard), culori(sample)), standard, sample);
}

/** CIEDE2000 with any parametric factors, ISO/CIE 11664-6. */
export function difference2000(kL: number, kC: number, kH: number, standard: Lab, sample: Lab): number {
  return settled(differenceCiede2000(kL, kC, kH)(culori(standard), culori(sample)), standard, sample);
}

/** Two colours equal but for the last binary digit can make a squared hue difference just below 0, and its root no number. */
function settled(figure: number, standard: Lab, sample: Lab): number {
  const rounding = Number.isNaN(figure) && [...standard, ...sample].every(Number.isFinite);
  return rounding ? 0 : figure;
}

/** Sample less standard, along each axis. */
export interface Components {
  readonly dL: number;
  readonly da: number;
  readonly db: number;
  /** Chroma difference: above 0 the sample is cleaner. */
  readonly dC: number;
  /** Metric hue difference, the length of an arc, not an angle: above 0 the sample's hue angle is larger. */
  readonly dH: number;
}

export function components(standard: Lab, sample: Lab): Components {
  return {
    dL: sample[0] - standard[0],
    da: sample[1] - standard[1],
    db: sample[2] - standard[2],
    dC: chroma(sample) - chroma(standard),
    dH: hueDifference(standard, sample),
  };
}

/**
 * ΔH*ab with its sign, from the cross product of the two colours, which keeps its digits for close pairs where the usual
 * square root of differences loses them (R. Sève, Color Res. Appl. 16, 217, 1991).
 */
function hueDifference(standard: Lab, sample: Lab): number {
  const product = chroma(standard) * chroma(sample);
  const cross = standard[1] * sample[2] - standard[2] * sample[1];
  const dot = standard[1] * sample[1] + standard[2] * sample[2];
  if (product === 0) return 0;
  if (dot > 0) return cross / Math.sqrt((product + dot) / 2);
  const length = Math.sqrt(2 * (product - dot));
  return cross < 0 ? -length : length;
}
