/**
 * ± of the difference between two effect colours of nearly the same formula.
 *
 * What the model has wrong about a toner it has wrong in both colours, so the ± of each says nothing of their difference. The covariance
 * of the fit does not tell either: the model's own error rules (see effect-uncertainty.ts). So the cards tell: of two cards of the same
 * toners the difference that was read is held against the one that is predicted, each card left out of its own prediction. That
 * miss grows with the difference, and is stated as a part of it. It holds the spread of spraying two cards as well, so it is
 * rather too large than too small for one cup.
 */
import { deltaE00 } from '../colour/ciede2000.ts';
import type { Lab } from '../colour/lab.ts';
import type { EffectCard } from './effect-fit.ts';
import { type LeftOut, ninthTenth } from './effect-uncertainty.ts';

export interface DifferenceError {
  /** Differences of two cards at one angle that it rests on; 0: assumed. */
  readonly pairs: number;
  /** Of a predicted difference, what 9 of 10 such differences are off by at most; 0..1. */
  readonly part: number;
}

/** A judgement, for a book whose cards do not tell: a difference is known to within half of itself. */
export const ASSUMED: DifferenceError = { pairs: 0, part: 0.5 };

/** Smaller read differences, in dE00, are those of the gun and not of the paint. */
const SPRAYED_ALIKE = 2;
const FEWEST = 10;

/**
 * From every pair of cards that hold the same toners, at each angle that both were read at. Steps of a panel stay out: they differ by
 * their film and not by their mixture.
 */
export function differenceError(cards: readonly EffectCard[], left: readonly LeftOut[]): DifferenceError {
  const parts: number[] = [];
  const mixtures = left.filter((one) => cards[one.card]!.panel === undefined);
  for (const [n, one] of mixtures.entries()) {
    for (const other of mixtures.slice(n + 1)) {
      if (sameToners(cards[one.card]!, cards[other.card]!)) parts.push(...missedParts(cards, one, other));
    }
  }
  return parts.length < FEWEST ? ASSUMED : { pairs: parts.length, part: Math.min(ninthTenth(parts)!, 1) };
}

function missedParts(cards: readonly EffectCard[], one: LeftOut, other: LeftOut): number[] {
  return cards[one.card]!.angles.flatMap((angle, a) => {
    const b = cards[other.card]!.angles.indexOf(angle);
    if (b < 0) return [];
    const read = deltaE00(one.read[a]!, other.read[b]!);
    const expected = one.read[a]!.map((value, k) => value + other.predicted[b]![k]! - one.predicted[a]![k]!);
    return read < SPRAYED_ALIKE ? [] : [deltaE00(expected as unknown as Lab, other.read[b]!) / read];
  });
}

const sameToners = (a: EffectCard, b: EffectCard): boolean =>
  a.toners.length === b.toners.length && a.toners.every((toner) => b.toners.includes(toner));
