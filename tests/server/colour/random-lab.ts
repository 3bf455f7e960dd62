/** A repeatable stream of numbers between 0 and 1 (Park and Miller 1988, multiplier 48271), so that a failing pair can be met again. */
export function stream(seed: number): () => number {
  let state = (seed % 2147483646) + 1;
  return () => {
    state = (state * 48271) % 2147483647;
    return state / 2147483647;
  };
}

/** Pairs of colours: close together, as matches are, or anywhere; L* up to 150 as flakes have it. */
export function randomPair(next: () => number, close: boolean): [[number, number, number], [number, number, number]] {
  const first: [number, number, number] = [150 * next(), 260 * next() - 130, 260 * next() - 130];
  if (!close) return [first, [150 * next(), 260 * next() - 130, 260 * next() - 130]];
  return [first, [Math.max(0, first[0] + 6 * next() - 3), first[1] + 10 * next() - 5, first[2] + 10 * next() - 5]];
}
