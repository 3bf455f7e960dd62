/** A repeatable stream of numbers from 0 up to 1 (mulberry32, public domain), so that a failing pair can be met again. */
export function stream(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = state;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

/** Pairs of colours: every other one close together, as matches are, the rest anywhere, L* up to 150 as flakes have it. */
export function randomPair(next: () => number, close: boolean): [[number, number, number], [number, number, number]] {
  const first: [number, number, number] = [150 * next(), 260 * next() - 130, 260 * next() - 130];
  if (!close) return [first, [150 * next(), 260 * next() - 130, 260 * next() - 130]];
  return [first, [Math.max(0, first[0] + 6 * next() - 3), first[1] + 10 * next() - 5, first[2] + 10 * next() - 5]];
}
