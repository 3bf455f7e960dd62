/** Two versions of optics.lock merged fit by fit. It is a derived file: what is not of the cards of the merged book is learned again. */
import type { Learned } from '../book/optics/learn.ts';
import { lockText, readLock } from '../book/optics/lock.ts';
import { fitName } from '../book/optics/optics.ts';

export interface MergedLock {
  readonly text: string;
  /** Fits that both sides learned otherwise, of which ours stands: `effect WB`. */
  readonly both: readonly string[];
  /** Neither side can be read: ours stands as it is. */
  readonly spoiled: boolean;
}

export function mergeLock(base: string, ours: string, theirs: string): MergedLock {
  const [o, a, b] = [base, ours, theirs].map(fitsByName) as [Fits, Fits, Fits];
  if (b.size === 0) return { text: ours, both: [], spoiled: a.size === 0 };
  if (a.size === 0) return { text: theirs, both: [], spoiled: false };
  const both: string[] = [];
  const merged = [...new Set([...a.keys(), ...b.keys()])].flatMap((name) => {
    const [old, our, their] = [o.get(name), a.get(name), b.get(name)];
    if (same(our, their) || same(their, old)) return our ?? [];
    if (same(our, old)) return their ?? [];
    both.push(name);
    return our ?? their ?? [];
  });
  const asOurs = merged.length === a.size && merged.every((fit) => a.get(fitName(fit)) === fit);
  return { text: asOurs ? ours : lockText(merged), both, spoiled: false };
}

type Fits = ReadonlyMap<string, Learned>;

const fitsByName = (text: string): Fits => new Map(readLock(text).map((fit) => [fitName(fit), fit]));

/** A fit hangs on nothing but the cards that its key stands for. */
const same = (a: Learned | undefined, b: Learned | undefined): boolean => a?.key === b?.key;
