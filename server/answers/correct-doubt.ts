/** Whether the cards of a formula agree well enough to change it by them. */
import { deltaE00 } from '../colour/ciede2000.ts';
import type { Lab } from '../colour/lab.ts';

/** Two cards of one formula that differ by more than the correction is worth. */
export interface Doubt {
  readonly cards: readonly [string, string];
  /** The angle at which they do; null: over all angles. */
  readonly geometry: string | null;
  readonly dE00: number;
}

export interface CardColours {
  readonly id: string;
  /** Under the main light, per angle. */
  readonly labs: readonly Lab[];
}

/** How far their mean is off at an angle. */
export interface OffAt {
  readonly geometry: string;
  readonly dE00: number;
}

/** dE00 between the two cards that differ most, root mean square over the angles; undefined for fewer than two. */
export function furthestApart(cards: readonly CardColours[]): Doubt | undefined {
  const pairs = pairsOf(cards).map(({ cards: ids, dE00 }): Doubt => ({ cards: ids, geometry: null, dE00: mean(dE00) }));
  return pairs.length === 0 ? undefined : pairs.reduce((a, b) => (b.dE00 > a.dE00 ? b : a));
}

/** `gain` is what a correction takes away over all angles, dE00; at the angle that is off most it is worth at most what is off there. */
export function doubtIn(cards: readonly CardColours[], off: readonly OffAt[], gain: number): Doubt | undefined {
  const furthest = furthestApart(cards);
  if (furthest && furthest.dE00 > gain) return furthest;
  const worst = off.reduce((at, one, a) => (one.dE00 > off[at]!.dE00 ? a : at), 0);
  const { geometry, dE00 } = off[worst]!;
  const pair = pairsOf(cards).find((one) => one.dE00[worst]! > dE00);
  return pair && { cards: pair.cards, geometry, dE00: pair.dE00[worst]! };
}

function pairsOf(cards: readonly CardColours[]): { cards: readonly [string, string]; dE00: number[] }[] {
  return cards.flatMap((one, i) =>
    cards.slice(i + 1).map((other) => ({
      cards: [one.id, other.id] as const,
      dE00: one.labs.map((lab, a) => deltaE00(lab, other.labs[a]!)),
    })),
  );
}

const mean = (values: readonly number[]): number =>
  Math.sqrt(values.reduce((sum, value) => sum + value * value, 0) / values.length);
