/** Times alternatives in interleaved rounds, so that a busy machine slows all of them alike; ratios are of the same round. */
export interface Timing {
  /** Milliseconds of each round. */
  readonly rounds: readonly number[];
}

export function interleaved(cases: Record<string, () => void>, rounds: number, warmUp = 3): Record<string, Timing> {
  const names = Object.keys(cases);
  const times: Record<string, number[]> = Object.fromEntries(names.map((name) => [name, []]));
  for (let round = -warmUp; round < rounds; round++)
    for (const name of names) {
      const from = performance.now();
      cases[name]!();
      const taken = performance.now() - from;
      if (round >= 0) times[name]!.push(taken);
    }
  return Object.fromEntries(names.map((name) => [name, { rounds: times[name]! }]));
}

export function median(values: readonly number[]): number {
  const sorted = values.toSorted((a, b) => a - b);
  return sorted[sorted.length >> 1]!;
}

/** Median over the rounds of ours / theirs. */
export function ratio(ours: Timing, theirs: Timing): number {
  return median(ours.rounds.map((time, i) => time / theirs.rounds[i]!));
}
