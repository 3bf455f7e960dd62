/**
 * A formula for an effect reading: few toners that come near at every angle.
 *
 * Sets of toners cannot be weighed on one linearised problem as for solids (the face of a flake paint is far from linear in its
 * shares), so sets grow toner by toner from the best few, and from the sets of formulas that are near already. What a
 * further toner would bring is first estimated from the slope of a trace of it; the most promising are refined in full.
 */
import { EffectMatcher, type EffectMixture, type EffectTarget, meanDifference } from './effect-match.ts';
import type { EffectToner } from './effect-model.ts';
import { nonNegativeLeastSquares } from './nnls.ts';

export interface EffectSearch {
  readonly target: EffectTarget;
  readonly toners: readonly EffectToner[];
  /** Places of toners that may be used. */
  readonly candidates: readonly number[];
  readonly must: readonly number[];
  /** Largest share of the dry coat by place. */
  readonly most: ReadonlyMap<number, number>;
  /** Toners besides the base, at most. */
  readonly size: number;
  /** Toners that the paint holds in any case (binder), with their shares of the dry coat. */
  readonly base: EffectMixture;
  /** Mixtures to begin with, such as the formulas that come nearest; shares of the toners besides the base. */
  readonly starts: readonly EffectMixture[];
}

export interface EffectMatch extends EffectMixture {
  /** dE00 per light and angle. */
  readonly dE00: readonly (readonly number[])[];
  readonly rms: number;
  /** Toners besides the base. */
  readonly size: number;
}

const BEAM = 5;
/** Additions that are refined for each set of the beam. */
const PROMISING = 4;
const TRACE = 0.01;
/** Shares below this cannot be weighed in a cup. */
const LEAST = 5e-4;

/** Matches of different sets, nearest first. Errors: RangeError when more toners are demanded than allowed. */
export function searchEffectFormulas(search: EffectSearch): EffectMatch[] {
  const { must, size } = search;
  if (must.length > size) throw new RangeError(`${must.length} toners are demanded, but at most ${size} allowed`);
  const matcher = new EffectMatcher(search.target, search.toners);
  const found = new Map<string, EffectMatch>();
  const keep = (match: EffectMatch): EffectMatch => {
    const key = keyOf(match.members);
    const known = found.get(key);
    if (known && known.rms <= match.rms) return known;
    found.set(key, match);
    return match;
  };
  for (const start of usableStarts(search)) keep(refined(search, matcher, start));
  let beam = firstSets(search).map((set) => keep(refined(search, matcher, set)));
  for (let level = Math.max(must.length, 1); level < size; level++) {
    const grown = nearest([...beam, ...[...found.values()].filter((one) => one.size === level)], BEAM);
    beam = grown.flatMap((set) => additions(search, matcher, set).map((next) => keep(refined(search, matcher, next))));
    if (beam.length === 0) break;
  }
  for (const set of nearest([...found.values()], BEAM)) exchange(search, matcher, set).forEach(keep);
  return nearest([...found.values()], found.size);
}

const keyOf = (members: readonly number[]): string => [...members].sort((a, b) => a - b).join(' ');

function nearest(matches: readonly EffectMatch[], count: number): EffectMatch[] {
  return [...new Set(matches)].sort((a, b) => a.rms - b.rms).slice(0, count);
}

const roomOf = ({ base }: EffectSearch): number => 1 - base.shares.reduce((sum, share) => sum + share, 0);

/** A start that keeps what is demanded and forbidden, and its largest toners where it has too many. */
function usableStarts(search: EffectSearch): EffectMixture[] {
  const allowed = new Set([...search.candidates, ...search.must]);
  return search.starts.flatMap(({ members, shares }) => {
    const parts = members
      .map((member, i) => ({ member, share: shares[i]! }))
      .filter(({ member }) => allowed.has(member) && !search.must.includes(member))
      .sort((a, b) => b.share - a.share)
      .slice(0, search.size - search.must.length);
    const own = search.must.map((member) => {
      const i = members.indexOf(member);
      return { member, share: i < 0 ? TRACE : shares[i]! };
    });
    const all = [...own, ...parts];
    return all.length === 0 ? [] : [scaled(search, all)];
  });
}

function firstSets(search: EffectSearch): EffectMixture[] {
  if (search.must.length > 0)
    return [
      scaled(
        search,
        search.must.map((member) => ({ member, share: 1 })),
      ),
    ];
  return search.candidates.map((member) => scaled(search, [{ member, share: 1 }]));
}

function scaled(search: EffectSearch, parts: readonly { member: number; share: number }[]): EffectMixture {
  const sum = parts.reduce((total, { share }) => total + share, 0);
  const room = roomOf(search);
  return { members: parts.map(({ member }) => member), shares: parts.map(({ share }) => (room * share) / sum) };
}

const withBase = ({ base }: EffectSearch, { members, shares }: EffectMixture): EffectMixture => ({
  members: [...members, ...base.members],
  shares: [...shares, ...base.shares],
});

function refined(search: EffectSearch, matcher: EffectMatcher, set: EffectMixture): EffectMatch {
  const held = new Set(search.base.members);
  const full = matcher.refine(withBase(search, set), { held, most: search.most });
  const kept = full.members
    .map((member, i) => ({ member, share: full.shares[i]! }))
    .filter(({ member, share }) => held.has(member) || share >= LEAST || search.must.includes(member));
  const mixture = { members: kept.map(({ member }) => member), shares: kept.map(({ share }) => share) };
  const dE00 = matcher.differences(mixture);
  return { ...mixture, dE00, rms: meanDifference(dE00), size: kept.length - held.size };
}

/** The set with one toner more, for the toners that the slope of a trace of them speaks for. */
function additions(search: EffectSearch, matcher: EffectMatcher, set: EffectMatch): EffectMixture[] {
  const own = withoutBase(search, set);
  if (own.members.length >= search.size) return [];
  const residual = matcher.residuals(set);
  const slopeOf = (member: number): Float64Array => {
    const more = mixedIn(search, own, member, TRACE);
    return matcher.residuals(withBase(search, more)).map((value, r) => (value - residual[r]!) / TRACE);
  };
  const slopes = own.members.map(slopeOf);
  const tried = search.candidates
    .filter((member) => !own.members.includes(member))
    .map((member) => ({ member, left: leftAfter([...slopes, slopeOf(member)], residual) }))
    .sort((a, b) => a.left - b.left)
    .slice(0, PROMISING);
  return tried.map(({ member }) => mixedIn(search, own, member, 0.03));
}

function withoutBase(search: EffectSearch, { members, shares }: EffectMixture): EffectMixture {
  const own = members
    .map((member, i) => ({ member, share: shares[i]! }))
    .filter(({ member }) => !search.base.members.includes(member));
  return { members: own.map(({ member }) => member), shares: own.map(({ share }) => share) };
}

function mixedIn(
  search: EffectSearch,
  { members, shares }: EffectMixture,
  member: number,
  share: number,
): EffectMixture {
  const parts = members.map((one, i) => ({ member: one, share: shares[i]! + (one === member ? share : 0) }));
  return scaled(search, members.includes(member) ? parts : [...parts, { member, share }]);
}

/** What would be left of the squares if the problem were linear: the last column may only be added. */
function leftAfter(columns: readonly Float64Array[], residual: Float64Array): number {
  const last = columns.at(-1)!;
  // Columns that may go both ways are given twice, once with the other sign, so that only additions are asked for.
  const both = [...columns.slice(0, -1).flatMap((column) => [column, column.map((value) => -value)]), last];
  const n = both.length;
  const gram = new Float64Array(n * n);
  const pull = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < n; j++) gram[i * n + j] = dot(both[i]!, both[j]!) + (i === j ? 1e-6 : 0);
    pull[i] = -dot(both[i]!, residual);
  }
  const best = nonNegativeLeastSquares(gram, pull);
  let left = dot(residual, residual);
  for (let i = 0; i < n; i++) {
    left -= 2 * best[i]! * pull[i]!;
    for (let j = 0; j < n; j++) left += best[i]! * best[j]! * gram[i * n + j]!;
  }
  return left;
}

function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += a[i]! * b[i]!;
  return sum;
}

/** The set with each toner in turn taken out, and with what then speaks most for itself put in. */
function exchange(search: EffectSearch, matcher: EffectMatcher, set: EffectMatch): EffectMatch[] {
  const own = withoutBase(search, set);
  if (own.members.length < 2) return [];
  return own.members
    .filter((member) => !search.must.includes(member))
    .flatMap((member) => {
      const parts = own.members
        .map((one, i) => ({ member: one, share: own.shares[i]! }))
        .filter((one) => one.member !== member);
      const fewer = refined(search, matcher, scaled(search, parts));
      const others = additions(search, matcher, fewer).filter((next) => !next.members.includes(member));
      return [fewer, ...others.slice(0, 2).map((next) => refined(search, matcher, next))];
    });
}
