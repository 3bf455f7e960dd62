import { ceilToStep, type Rational, rational, smaller } from '../exact/rational.ts';

/** A balance of the shop. Weights in grams. */
export interface Scale {
  readonly name: string;
  /** The smallest step that it shows. */
  readonly readability: Rational;
  /** The most that it carries, cup included; without one it is taken to carry everything. */
  readonly capacity?: Rational;
}

/** Set to zero before every pour, or read as one running figure whose differences are the pours. */
export type WeighingMode = 'tared' | 'running';

/**
 * The smallest pour whose reading error stays within a share of it: half a step after a tare, a whole step for the
 * difference of two readings, which are each off by up to half a step. A worst case by arithmetic, no standard: the
 * pharmacy rule of USP <41> (820 steps) asks for far more than paint needs.
 */
export function smallestPour(readability: Rational, toleratedShare: Rational, mode: WeighingMode): Rational {
  const worst = mode === 'tared' ? readability.div(2) : readability;
  return worst.div(toleratedShare);
}

/** The least mass that USP <41> (2019) lets one weigh where repeatability is at its floor of 0.41 steps: 2000 x 0.41 d. */
export function pharmacyMinimum(readability: Rational): Rational {
  return readability.mul(rational('0.41')).mul(2000);
}

/** The smallest batch in which no part falls below the smallest pour, rounded up to a weighable total. */
export function smallestBatch(parts: readonly Rational[], leastPour: Rational, readability: Rational): Rational {
  const used = parts.filter((part) => part.gt(0));
  if (used.length === 0) throw new RangeError('a formula without parts has no smallest batch');
  const total = used.reduce((sum, part) => sum.add(part));
  return ceilToStep(leastPour.mul(total).div(used.reduce(smaller)), readability);
}

/**
 * The finest scale that still carries the load (cup and paint), or undefined when none does.
 * The finest, because a smaller step makes every toner's error smaller and costs nothing.
 */
export function chooseScale(scales: readonly Scale[], load: Rational): Scale | undefined {
  const carrying = scales.filter((scale) => !scale.capacity || scale.capacity.gte(load));
  return carrying.reduce<Scale | undefined>(
    (finest, scale) => (!finest || scale.readability.lt(finest.readability) ? scale : finest),
    undefined,
  );
}

export type AccuracyClass = 'II' | 'III';

/** Up to so many verification steps the error may be 0.5, 1 and 1.5 steps: EN 45501 and OIML R 76 classes, UK SI 1995/1907 sched. 2. */
const bands: Readonly<Record<AccuracyClass, readonly [number, number]>> = { II: [5000, 20000], III: [500, 2000] };

/**
 * How far a legal scale may be off at a load: the limit at verification, doubled in service.
 * @param step the verification step e, in the load's unit.
 */
export function permissibleError(
  load: Rational,
  step: Rational,
  accuracy: AccuracyClass,
  when: 'verification' | 'service',
): Rational {
  const [first, second] = bands[accuracy];
  const steps = load.div(step);
  const halves = steps.lte(first) ? 1 : steps.lte(second) ? 2 : 3;
  return step.mul(halves).div(when === 'service' ? 1 : 2);
}

/** What a test weight says about a scale: how far it reads off, and whether that is within what one tolerates. */
export function testWeighing(
  nominal: Rational,
  reads: Rational,
  tolerated: Rational,
): { off: Rational; within: boolean } {
  const off = reads.sub(nominal);
  return { off, within: off.abs().lte(tolerated) };
}
