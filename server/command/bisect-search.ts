/** The commit after which something stopped holding, by looking at as few versions as possible. */

export interface Boundary {
  /** Index of the oldest version in which it does not hold. */
  readonly bad: number;
  /** Does it hold in the version before that one? Else none was found in which it does. */
  readonly found: boolean;
}

/**
 * Versions are numbered from the newest, in which it does not hold: back in growing steps to one in which it does, then halving what lies
 * between. Where it cannot be told it does not hold either: the version after the last one in which it held is wanted.
 */
export async function boundary(count: number, holds: (index: number) => Promise<boolean>): Promise<Boundary> {
  let bad = 0;
  let good = -1;
  for (let step = 1; bad < count - 1 && good < 0; step *= 2) {
    const index = Math.min(count - 1, bad + step);
    if (await holds(index)) good = index;
    else bad = index;
  }
  if (good < 0) return { bad, found: false };
  while (good - bad > 1) {
    const middle = (good + bad) >> 1;
    if (await holds(middle)) good = middle;
    else bad = middle;
  }
  return { bad, found: true };
}
