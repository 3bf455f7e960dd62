/** How far a match may be off, in one metric, for each use of it. Each is at least as large as the one before. */
export interface Tolerances {
  /** Panel beside panel, without blending. */
  readonly edge: number;
  /** Blended into the neighbouring panel. */
  readonly blend: number;
  /** Where it is hardly seen: shuts, inside, under trim. */
  readonly hidden: number;
}

export type VerdictWord = 'holds edge to edge' | 'blend' | 'tint first' | 'not near';

export interface AngleDifference {
  /** As the angle is written, `45as15`. */
  readonly geometry: string;
  readonly difference: number;
  /** Of this angle: more is allowed near the gloss. */
  readonly tolerances: Tolerances;
}

export interface Verdict {
  readonly word: VerdictWord;
  /** One sentence, with the angle that decides. */
  readonly sentence: string;
  /** The angle that decides, the worst against its own tolerance. */
  readonly worst: string;
}

const WORDS: readonly VerdictWord[] = ['holds edge to edge', 'blend', 'tint first', 'not near'];

/** 0 within edge to edge ... 3 beyond even hidden areas. */
function grade({ difference, tolerances }: AngleDifference): number {
  if (difference <= tolerances.edge) return 0;
  if (difference <= tolerances.blend) return 1;
  return difference <= tolerances.hidden ? 2 : 3;
}

/**
 * Whether a match may be used, by the tolerances of each angle; the worst angle decides.
 * @returns undefined when there is no angle to judge
 */
export function verdict(angles: readonly AngleDifference[]): Verdict | undefined {
  const [worst] = angles.toSorted(
    (p, q) => grade(q) - grade(p) || q.difference / q.tolerances.edge - p.difference / p.tolerances.edge,
  );
  if (!worst) return undefined;
  const word = WORDS[grade(worst)]!;
  return { word, sentence: sentence(word, worst), worst: worst.geometry };
}

function sentence(word: VerdictWord, { geometry, difference, tolerances }: AngleDifference): string {
  const { edge, blend, hidden } = tolerances;
  const passed = { 'holds edge to edge': edge, blend: edge, 'tint first': blend, 'not near': hidden }[word];
  const at = `${geometry} is off by ${shown(difference, passed)}`;
  switch (word) {
    case 'holds edge to edge':
      return `Holds edge to edge: nearest to its limit, ${at}, allowed ${shown(edge)}.`;
    case 'blend':
      return `Blend: ${at}, more than edge to edge allows (${shown(edge)}), within blending (${shown(blend)}).`;
    case 'tint first':
      return `Tint first: ${at}, more than blending allows (${shown(blend)}); as it is, for hidden areas only (${shown(hidden)}).`;
    case 'not near':
      return `Not near: ${at}, more than even hidden areas allow (${shown(hidden)}).`;
  }
}

/** One decimal is all that a bench supports; two for a limit that the book states so, or where one would make a figure equal its limit. */
function shown(value: number, limit?: number): string {
  if (limit === undefined)
    return Math.abs(value * 10 - Math.round(value * 10)) < 1e-9 ? value.toFixed(1) : value.toFixed(2);
  return value.toFixed(value > limit && value.toFixed(1) === limit.toFixed(1) ? 2 : 1);
}
