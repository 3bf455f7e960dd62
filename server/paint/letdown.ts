import { type Rational, zero } from '../exact/rational.ts';
import type { Part } from './weights.ts';

/** A toner diluted beforehand so that a small amount of it can be weighed. */
export interface LetDown {
  /** The code that the dilution has in the book. */
  readonly code: string;
  readonly toner: string;
  /** What it is diluted with, as a rule the binder. */
  readonly carrier: string;
  /** The toner's share of the dilution by weight, 0..1. */
  readonly share: Rational;
}

/**
 * The formula with a toner taken from its let-down, and the carrier that comes with it subtracted from the carrier's own line.
 * The paint stays the same. Undefined when the formula does not hold the toner, or not enough carrier to subtract from.
 */
export function withLetDown(parts: readonly Part[], letDown: LetDown): Part[] | undefined {
  if (letDown.share.lte(0) || letDown.share.gt(1)) throw new RangeError('a let-down holds between 0 and 100 % toner');
  const toner = partsOf(parts, letDown.toner);
  const diluted = toner.div(letDown.share);
  const carrierLeft = partsOf(parts, letDown.carrier).sub(diluted.sub(toner));
  if (toner.lte(0) || carrierLeft.lt(0)) return undefined;
  return parts.flatMap((part) => {
    if (part.code === letDown.toner) return [{ code: letDown.code, parts: diluted }];
    if (part.code === letDown.carrier) return carrierLeft.gt(0) ? [{ code: part.code, parts: carrierLeft }] : [];
    return [part];
  });
}

/** The strongest let-down that brings a toner's pour up to the smallest worth weighing, as the toner's share of it. */
export function letDownShare(tonerGrams: Rational, leastPour: Rational): Rational {
  return tonerGrams.div(leastPour);
}

function partsOf(parts: readonly Part[], code: string): Rational {
  return parts.find((part) => part.code === code)?.parts ?? zero;
}

/** Lots whose tinting strength was measured, as a share of the standard lot: 0.97 is three per cent weak. */
export type Strengths = ReadonlyMap<string, Rational>;

export interface StrengthChange {
  readonly code: string;
  readonly strength: Rational;
  readonly from: Rational;
  readonly to: Rational;
}

/** The parts with every weak lot poured larger and every strong one smaller, and what was changed so that it can be shown. */
export function atStrength(parts: readonly Part[], strengths: Strengths): { parts: Part[]; changes: StrengthChange[] } {
  const changes: StrengthChange[] = [];
  const corrected = parts.map((part) => {
    const strength = strengths.get(part.code);
    if (!strength || strength.equals(1)) return part;
    if (strength.lte(0)) throw new RangeError(`the strength of ${part.code} must be above zero`);
    const to = part.parts.div(strength);
    changes.push({ code: part.code, strength, from: part.parts, to });
    return { code: part.code, parts: to };
  });
  return { parts: corrected, changes };
}
