/**
 * Which toners may match a target as a film that does not hide what is below.
 *
 * A film depends on the mixture's K and S one by one, not on their ratio, so that the linearised walk over all sets does not hold
 * for it. Sets grow toner by toner instead, every one refined on the real problem, from the best few of each size and from
 * those that would match if the paint hid.
 */
import { refineParts } from './formulate-refine.ts';
import { clippedShares, type ShareBounds, type TonerSet } from './formulate-sets.ts';
import type { LinearisedTarget } from './formulate-target.ts';
import type { TonerOptics } from './mixture.ts';

export interface FilmSearch {
  readonly target: LinearisedTarget;
  readonly optics: readonly TonerOptics[];
  readonly bounds: readonly ShareBounds[];
  /** Members of every set. */
  readonly must: readonly number[];
  /** Members at most. */
  readonly most: number;
}

/** Sets of each size from which larger ones grow. */
const BEAM = 30;
/** Pairs are all looked at while there are no more toners than this. */
const FEW = 60;
/** Share of a toner that is tried besides others. */
const FIRST_SHARE = 0.1;

/** The best sets of each size, `keep` of each, `seeds` among them. */
export function filmSets(search: FilmSearch, seeds: readonly TonerSet[], keep: number): TonerSet[] {
  const { must, most, optics } = search;
  const bySize = new Map<number, Map<string, TonerSet>>();
  const offer = (set: TonerSet | undefined): void => {
    if (!set) return;
    const own = bySize.get(set.members.length) ?? new Map<string, TonerSet>();
    const key = [...set.members].sort((a, b) => a - b).join(' ');
    const known = own.get(key);
    if (!known || set.value < known.value) own.set(key, set);
    bySize.set(set.members.length, own);
  };
  const sorted = (size: number): TonerSet[] =>
    [...(bySize.get(size)?.values() ?? [])].sort((a, b) => a.value - b.value);
  for (const seed of seeds) offer(seed);
  if (must.length > 0) offer(begun(search, must));
  else for (const i of optics.keys()) offer(begun(search, [i]));
  for (let size = Math.max(must.length, 1); size < most; size++) {
    const wide = size === 1 && optics.length <= FEW;
    const front = sorted(size).slice(0, wide ? optics.length : BEAM);
    for (const set of front) for (const i of optics.keys()) offer(grown(search, set, i));
  }
  return [...bySize.keys()].flatMap((size) => sorted(size).slice(0, keep));
}

/** A set in even shares, refined. */
function begun(search: FilmSearch, members: readonly number[]): TonerSet | undefined {
  return refined(
    search,
    members,
    members.map(() => 1 / members.length),
  );
}

function grown(search: FilmSearch, { members, parts }: TonerSet, i: number): TonerSet | undefined {
  if (members.includes(i)) return undefined;
  return refined(search, [...members, i], [...parts.map((part) => part * (1 - FIRST_SHARE)), FIRST_SHARE]);
}

function refined(
  { target, optics, bounds }: FilmSearch,
  members: readonly number[],
  start: readonly number[],
): TonerSet | undefined {
  const own = members.map((i) => bounds[i]!);
  const parts = clippedShares(start, own);
  if (!parts) return undefined;
  return {
    members,
    ...refineParts(
      target,
      members.map((i) => optics[i]!),
      own,
      parts,
    ),
  };
}
