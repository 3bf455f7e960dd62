/** Lock files for tests of merging. */
import type { Learned } from '../../../server/book/optics/learn.ts';
import { lockText } from '../../../server/book/optics/lock.ts';

/** Fits that tell nothing but what they were learned from: `{'WB solid': 'k1'}`. */
export const lockOf = (keys: Readonly<Record<string, string>>): string =>
  lockText(
    Object.entries(keys).map(([name, key]) => {
      const [system, side] = name.split(' ');
      return { system, side, key, fit: { solid: { count: 1 } }, toners: [] } as unknown as Learned;
    }),
  );
