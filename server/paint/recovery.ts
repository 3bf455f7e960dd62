import { larger, one, type Rational, rational, roundToStep, sum, zero } from '../exact/rational.ts';
import { type Amount, type Part, type Pour, pourSheet, runningPours, scaleTo } from './weights.ts';

/** A batch under way. Masses in grams. */
export interface Batch {
  readonly formula: readonly Part[];
  /** The mass that was to be made. */
  readonly target: Rational;
  /** Every pour so far, in order; a toner may come twice. */
  readonly poured: readonly Amount[];
  /** The scale's step. */
  readonly readability: Rational;
  /** A toner already poured that is short by less than this is left as it is: so little cannot be weighed. Default 0. */
  readonly leastPour?: Rational;
}

export interface NextPour {
  readonly code: string;
  readonly weighed: Rational;
  /** What the scale has to show after it, when it is not set to zero. */
  readonly running: Rational;
  readonly grams: string;
  readonly cumulative: string;
}

export interface Deviation {
  readonly code: string;
  readonly planned: Rational;
  readonly poured: Rational;
  /** Poured less planned, against the weighable pour of the sheet: never a mere rounding. */
  readonly off: Rational;
}

/** The mass in the cup. */
export function inCup(poured: readonly Amount[]): Rational {
  return sum(poured.map((amount) => amount.grams));
}

/** How far each toner poured so far is from the sheet. A toner that the formula does not hold was planned at nothing. */
export function deviations(batch: Batch): Deviation[] {
  const planned = plan(batch);
  return [...pouredByCode(batch.poured)].map(([code, poured]) => {
    const wanted = planned.get(code) ?? zero;
    return { code, planned: wanted, poured, off: poured.sub(wanted) };
  });
}

/** The first toner in the formula's order that is still to be poured or to be topped up; undefined when the batch is complete. */
export function nextPour(batch: Batch): NextPour | undefined {
  const already = pouredByCode(batch.poured);
  for (const [code, wanted] of plan(batch)) {
    const poured = already.get(code);
    const short = wanted.sub(poured ?? zero);
    const worthIt = poured ? short.gte(larger(batch.leastPour ?? zero, batch.readability)) : short.gt(0);
    if (worthIt) return runningPours([{ code, grams: short }], inCup(batch.poured), batch.readability)[0];
  }
  return undefined;
}

/** Every pour still to come, one after the other, as the batch is. */
export function stillToPour(batch: Batch): NextPour[] {
  const next = nextPour(batch);
  if (!next) return [];
  return [next, ...stillToPour({ ...batch, poured: [...batch.poured, { code: next.code, grams: next.weighed }] })];
}

/** Toners that are in the cup beyond their pour on the sheet. */
export function overPoured(batch: Batch): Deviation[] {
  return deviations(batch).filter((deviation) => deviation.off.gt(0));
}

/**
 * How many times larger the batch has to become so that nothing in the cup is too much: the largest of poured / wanted.
 * Below 1 while everything can still be reached; undefined when a toner is in the cup that the formula does not hold.
 */
export function growth(formula: readonly Part[], target: Rational, poured: readonly Amount[]): Rational | undefined {
  const wanted = new Map(scaleTo(formula, target).map((amount) => [amount.code, amount.grams]));
  let k = zero;
  for (const [code, grams] of pouredByCode(poured)) {
    if (grams.lte(0)) continue;
    const mass = wanted.get(code);
    if (!mass || mass.lte(0)) return undefined;
    k = larger(k, grams.div(mass));
  }
  return k;
}

/** Ways out of an over-pour. */
export type RecoveryKind = 'leave' | 'start again' | 'draw off' | 'exact' | 'cheapest';

export type Addition = Omit<Pour, 'share'>;

export interface RecoveryChoice {
  readonly kind: RecoveryKind;
  /** The mass of the finished batch. */
  readonly total: Rational;
  /** What is still to be poured, in the formula's order, with the running figures of the scale. */
  readonly additions: readonly Addition[];
  /** What is taken out of the stirred cup first: all of it when one starts again. */
  readonly removed: Rational;
  /** Whether the finished batch stays below the cup's limit; true when no limit was given. */
  readonly fits: boolean;
  /** The predicted colour difference to the formula, when there is a prediction. */
  readonly predicted?: number;
}

export interface RecoveryOptions {
  /** The most that the cup takes, in grams. */
  readonly cupLimit?: Rational;
  /** The predicted colour difference of a mixture to the formula; undefined while nothing can be predicted. */
  readonly difference?: (mixture: readonly Amount[]) => number | undefined;
  /** The largest difference that is accepted, in the unit of `difference`. */
  readonly tolerance?: number;
}

/**
 * What one can do after an over-pour, in the order: leave, cheapest, exact, draw off, start again. Empty while nothing is over.
 * After a toner that the formula does not hold there is no exact way, so only leaving it and starting again remain.
 */
export function recoveryChoices(batch: Batch, options: RecoveryOptions = {}): RecoveryChoice[] {
  if (overPoured(batch).length === 0) return [];
  const k = growth(batch.formula, batch.target, batch.poured);
  const leave = grownTo(batch, one, 'leave');
  const all = [leave];
  if (k) {
    const cheapest = cheapestWithin(batch, k, options);
    if (cheapest) all.push(cheapest);
    all.push(exactRecovery(batch, k), drawOff(batch, k));
  }
  all.push(startAgain(batch));
  return all.map((choice) => judged(choice, batch, options));
}

/** Every toner brought up to its share of the batch grown k times. */
function exactRecovery(batch: Batch, k: Rational): RecoveryChoice {
  return grownTo(batch, larger(k, one), 'exact');
}

/** Toners short of their share of a batch grown by a factor are topped up; those beyond it stay as they are. */
function grownTo(batch: Batch, factor: Rational, kind: RecoveryKind): RecoveryChoice {
  const additions = toppedUp(batch, batch.poured, factor);
  return { kind, additions, total: totalOf(batch.poured, additions), removed: zero, fits: true };
}

/** A toner that is in the cup and short by less than half a step is a rounding, not a pour. */
function toppedUp(batch: Batch, cup: readonly Amount[], factor: Rational): Addition[] {
  const already = pouredByCode(cup);
  const missing = scaleTo(batch.formula, batch.target.mul(factor))
    .map(({ code, grams }) => ({ code, grams: grams.sub(already.get(code) ?? zero) }))
    .filter(({ code, grams }) => grams.gt(already.has(code) ? batch.readability.div(2) : 0));
  const pours = runningPours(missing, inCup(cup), batch.readability);
  return pours.filter((pour) => pour.weighed.gt(0));
}

function totalOf(cup: readonly Amount[], additions: readonly Addition[]): Rational {
  return inCup(cup).add(sum(additions.map((addition) => addition.weighed)));
}

/** Part of the stirred cup is taken out until nothing in it is too much for the batch as asked; then the batch is finished. */
function drawOff(batch: Batch, k: Rational): RecoveryChoice {
  const mass = inCup(batch.poured);
  const removed = roundToStep(mass.sub(mass.div(larger(k, one))), batch.readability);
  const kept = keptAfter(batch.poured, removed);
  const additions = toppedUp(batch, kept, one);
  return { kind: 'draw off', removed, additions, total: totalOf(kept, additions), fits: true };
}

function keptAfter(poured: readonly Amount[], removed: Rational): Amount[] {
  const mass = inCup(poured);
  if (mass.lte(0)) return [];
  const share = mass.sub(removed).div(mass);
  return poured.map(({ code, grams }) => ({ code, grams: grams.mul(share) }));
}

function startAgain(batch: Batch): RecoveryChoice {
  const sheet = pourSheet(batch.formula, batch.target, batch.readability);
  return { kind: 'start again', removed: inCup(batch.poured), additions: sheet.pours, total: sheet.total, fits: true };
}

/** Enough to find where a smooth difference crosses the tolerance, few enough to run while one types. */
const probes = 16n;

/**
 * The smallest batch, in steps of the scale between the one asked for and the exact recovery, whose predicted difference is
 * within tolerance. All toners that are not over keep their ratios among themselves, so that binder and additives are never
 * traded away for colour. Undefined when nothing can be predicted, or leaving it is good enough already.
 */
function cheapestWithin(batch: Batch, k: Rational, options: RecoveryOptions): RecoveryChoice | undefined {
  const { tolerance } = options;
  if (!options.difference || tolerance === undefined) return undefined;
  const at = (steps: bigint) =>
    grownTo(batch, one.add(batch.readability.mul(rational(steps)).div(batch.target)), 'cheapest');
  const within = (steps: bigint) => {
    const predicted = predictedOf(at(steps), batch, options);
    return predicted !== undefined && predicted <= tolerance;
  };
  const most = batch.target.mul(k.sub(1)).div(batch.readability).ceil().n;
  if (most <= 0n || within(0n)) return undefined;
  const found = firstWithin(most, within);
  // At the last step it would be the exact recovery under another name.
  return found === undefined || found >= most ? undefined : at(found);
}

/** The first step that passes. The difference need not fall steadily, so a coarse walk comes before halving. */
function firstWithin(most: bigint, within: (steps: bigint) => boolean): bigint | undefined {
  let low = 0n;
  let high: bigint | undefined;
  for (let i = 1n; i <= probes && high === undefined; i++) {
    const steps = (most * i) / probes;
    if (steps === low) continue;
    if (within(steps)) high = steps;
    else low = steps;
  }
  while (high !== undefined && high - low > 1n) {
    const middle: bigint = (low + high) / 2n;
    if (within(middle)) high = middle;
    else low = middle;
  }
  return high;
}

function judged(choice: RecoveryChoice, batch: Batch, options: RecoveryOptions): RecoveryChoice {
  const predicted = predictedOf(choice, batch, options);
  const fits = !options.cupLimit || choice.total.lte(options.cupLimit);
  return { ...choice, fits, ...(predicted === undefined ? {} : { predicted }) };
}

function predictedOf(choice: RecoveryChoice, batch: Batch, options: RecoveryOptions): number | undefined {
  const predicted = options.difference?.(mixtureAfter(choice, batch.poured));
  return predicted !== undefined && Number.isFinite(predicted) ? predicted : undefined;
}

/** What is in the cup once a choice is carried out. */
export function mixtureAfter(choice: RecoveryChoice, poured: readonly Amount[]): Amount[] {
  const mixture = pouredByCode(keptAfter(poured, choice.removed));
  for (const { code, weighed } of choice.additions) mixture.set(code, (mixture.get(code) ?? zero).add(weighed));
  return [...mixture].filter(([, grams]) => grams.gt(0)).map(([code, grams]) => ({ code, grams }));
}

function plan(batch: Batch): Map<string, Rational> {
  const { pours } = pourSheet(batch.formula, batch.target, batch.readability);
  return new Map(pours.map((pour) => [pour.code, pour.weighed]));
}

function pouredByCode(poured: readonly Amount[]): Map<string, Rational> {
  const byCode = new Map<string, Rational>();
  for (const { code, grams } of poured) byCode.set(code, (byCode.get(code) ?? zero).add(grams));
  return byCode;
}
