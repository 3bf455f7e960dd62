/**
 * A formula from a reading: few toners, several different answers, and honesty about how little a reading determines.
 *
 * All sets of toners are weighed on a linearised problem (formulate-sets.ts), the best refined on the real one. Several
 * lights are matched together: under one light alone thousands of sets match exactly.
 */
import type { Lab } from '../colour/lab.ts';
import { filmSets } from './formulate-film.ts';
import { refineParts } from './formulate-refine.ts';
import { bestSets, clippedShares, linearProblem, type ShareBounds, type TonerSet } from './formulate-sets.ts';
import {
  differences,
  type LinearisedTarget,
  linearise,
  mixtureReading,
  rootMeanSquare,
  type SprayedFilm,
  type Target,
} from './formulate-target.ts';
import { deltaE00, type Light, labUnder } from './light.ts';
import type { Component, TonerOptics } from './mixture.ts';
import { smoothReflectance } from './smooth-reflectance.ts';
import type { Surface } from './surface.ts';

/** What the formula is to match. */
export interface FormulationReading {
  /** Measured reflectance per wavelength; absent when the reading is Lab only. */
  readonly reflectance?: Float64Array;
  /** Lab under the first light; needed when there is no reflectance. */
  readonly lab?: Lab;
}

/** What may be used. */
export interface FormulationRequest {
  readonly reading: FormulationReading;
  /** All toners of the system. */
  readonly toners: readonly TonerOptics[];
  readonly surface: Surface;
  /** The first is the main light. */
  readonly lights: readonly Light[];
  /** dE00 that is good enough. */
  readonly tolerance: number;
  /** Toners that may be used (indices); all but binders when absent. */
  readonly candidates?: readonly number[];
  readonly must?: readonly number[];
  readonly mustNot?: readonly number[];
  /** Bounds of a toner's share of the coloured part, by index. */
  readonly limits?: ReadonlyMap<number, ShareBounds>;
  /** Toners besides the base; 5 when absent. */
  readonly most?: number;
  /** Refuses mixtures for what they cost or give off; asked of those that come near. */
  readonly allows?: (components: readonly Component[]) => boolean;
  /**
   * What the formula holds in any case, e.g. 30 % binder, as shares of the whole (sum below 1). How much binder a paint
   * needs never follows from its opaque colour.
   */
  readonly base?: readonly Component[];
  /** Price per unit of weight of each toner. */
  readonly prices?: readonly number[];
  /** The film that is sprayed, where it may not hide; absent: the paint hides. */
  readonly film?: SprayedFilm;
  /** The ± (dE00, 90 %) of a mixture's prediction, from the fit; absent for constants taken as exact. */
  readonly plusMinus?: (components: readonly Component[], reflectance: Float64Array) => number;
}

/** One formula that matches, more or less. */
export interface Solution {
  /** Shares of the whole, the base included, largest first. */
  readonly components: readonly Component[];
  readonly reflectance: Float64Array;
  /** dE00 under each light that the reading speaks of. */
  readonly dE00: readonly number[];
  readonly rms: number;
  readonly worst: number;
  readonly plusMinus: number;
  /** Largest dE00 under the lights after the first; absent when the reading does not tell it. */
  readonly metamerism?: number;
  readonly cost?: number;
  /** Toners besides the base. */
  readonly size: number;
}

export interface Formulation {
  /** The best first; different ones, not hundredths of each other. Empty when the constraints forbid every mixture. */
  readonly solutions: readonly Solution[];
  /** Whether the best is within the tolerance. */
  readonly reachable: boolean;
  /** Whether no other set of as many toners or fewer comes as near, as far as the ± can tell. */
  readonly unique: boolean;
  /** Sets of toners that come within the ± of the best. */
  readonly equals: number;
  /**
   * Lab under one light does not determine a formula: how far apart (dE00) the solutions are from each other under each
   * further light.
   */
  readonly undetermined?: readonly { readonly light: string; readonly apart: number }[];
}

const defaultMost = 5;
/** Sets of each number of toners that are refined. */
const kept = 100;
/** A toner that must be used is used at least so much. */
const leastOfMust = 0.002;
/** Shares below this are dropped: they cannot be weighed in a cup. */
const leastShare = 1e-4;
/** Sets nearer to each other than this are the same to any eye. */
const sameMatch = 0.1;
const differentSolutions = 5;
const fewSolutions = 3;

/** Find formulas. Errors: RangeError when the reading holds nothing, or constraints contradict each other. */
export function formulate(request: FormulationRequest): Formulation {
  const { allows } = request;
  const near = searchFormulas(request);
  const found = allows ? near.filter(({ components }) => allows(components)) : near;
  const first = found[0];
  if (first === undefined) return { solutions: [], reachable: false, unique: false, equals: 0 };
  const judged = chosen(found, request);
  const best = judged[0]!;
  const equal = Math.max(sameMatch, best.plusMinus / 2);
  const rivals = found.filter((each) => each.size <= best.size && each.rms <= best.rms + equal);
  const equals = new Set(rivals.map(tonersOf)).size;
  const reachable = found.some((each) => rootMeanSquare(each.dE00) <= request.tolerance);
  const spectral = request.reading.reflectance !== undefined;
  return {
    solutions: judged,
    reachable,
    unique: spectral && equals <= 1,
    equals,
    ...(spectral ? {} : { undetermined: apart(matching(judged, request.tolerance), request.lights.slice(1)) }),
  };
}

/** A match before it is judged: everything but ±, cost and metamerism. */
type Match = Pick<Solution, 'components' | 'reflectance' | 'dE00' | 'rms' | 'size'>;

/** All refined matches, nearest first, one per set of toners. */
export function searchFormulas(request: FormulationRequest): Match[] {
  const { reading, toners, surface, film } = request;
  const lights = reading.reflectance === undefined ? request.lights.slice(0, 1) : request.lights;
  const main = lights[0];
  if (main === undefined) throw new RangeError('formulating needs at least one light');
  const search = searchSpace(request);
  if (film) return searchFilms(request, film, lights, search);
  if (reading.reflectance !== undefined) {
    const { reflectance } = reading;
    const target: Target = { lights, surface, labs: lights.map((light) => labUnder(light, reflectance)) };
    const found = unlike(matches(linearise(target, reflectance), search));
    const nearest = found[0];
    if (nearest === undefined || nearest.rms < sameMatch) return found;
    return unlike([...found, ...grown(linearise(target, reflectance), search)]);
  }
  if (reading.lab === undefined) throw new RangeError('the reading has neither a spectrum nor a Lab');
  const target: Target = { lights, surface, labs: [reading.lab] };
  // A linearised search needs a spectrum. Begin with the smoothest of this colour, then go on from spectra that real
  // toners gave: each leads to its own family of formulas.
  const begun = unlike(matches(linearise(target, smoothReflectance(main, reading.lab)), search));
  const seeds = different(begun, 3);
  const more = seeds.flatMap((seed) => matches(linearise(target, seed.reflectance), search));
  if (toners.length === 0) return [];
  return unlike([...begun, ...more]);
}

/** Formulas for a film over something: what would match if it hid is where the search begins, and it goes on from few toners to more. */
function searchFilms(
  { reading, surface }: FormulationRequest,
  film: SprayedFilm,
  lights: readonly Light[],
  search: SearchSpace,
): Match[] {
  const { reflectance, lab } = reading;
  const seen = reflectance ?? (lab && smoothReflectance(lights[0]!, lab));
  if (seen === undefined) throw new RangeError('the reading has neither a spectrum nor a Lab');
  const labs = lights.map((light) => (reflectance ? labUnder(light, reflectance) : lab!));
  const { optics, bounds, must, most } = search;
  const hidden = bestSets(linearProblem(linearise({ lights, surface, labs }, seen), optics), bounds, must, most, kept);
  const target = linearise({ lights, surface, labs, film }, seen);
  const seeds = hidden.map((set) => refineSet(target, search, set));
  return unlike(polish(target, search, filmSets({ target, optics, bounds, must, most }, seeds, kept)));
}

/** Candidates as the search sees them: the base folded in, bounds ready. */
interface SearchSpace {
  readonly indices: readonly number[];
  readonly optics: readonly TonerOptics[];
  readonly bounds: readonly ShareBounds[];
  readonly must: readonly number[];
  readonly most: number;
  readonly base: readonly Component[];
  readonly share: number;
  readonly toners: readonly TonerOptics[];
}

function searchSpace(request: FormulationRequest): SearchSpace {
  const { toners } = request;
  const must = request.must ?? [];
  const barred = new Set(request.mustNot ?? []);
  const both = must.find((i) => barred.has(i));
  if (both !== undefined) throw new RangeError(`${toners[both]!.code} is both demanded and forbidden`);
  const offered = request.candidates ?? toners.map((_, i) => i).filter((i) => toners[i]!.kind !== 'binder');
  const indices = [...new Set([...must, ...offered])].filter((i) => !barred.has(i));
  const most = Math.min(request.most ?? defaultMost, indices.length);
  if (must.length > most) throw new RangeError(`${must.length} toners are demanded, but at most ${most} allowed`);
  const base = request.base ?? [];
  const share = 1 - base.reduce((sum, component) => sum + component.share, 0);
  if (!(share > 0)) throw new RangeError('the fixed part of the formula leaves no room for toners');
  return {
    indices,
    optics: indices.map((i) => withBase(toners, i, base, share)),
    bounds: indices.map((i) => {
      const { least, most: upper } = request.limits?.get(i) ?? { least: 0, most: 1 };
      return { least: must.includes(i) ? Math.max(least, leastOfMust) : least, most: upper };
    }),
    must: must.map((i) => indices.indexOf(i)),
    most,
    base,
    share,
    toners,
  };
}

/** With parts that sum to 1, a fixed base is the same as a little of it in every toner. */
function withBase(
  toners: readonly TonerOptics[],
  index: number,
  base: readonly Component[],
  share: number,
): TonerOptics {
  const toner = toners[index]!;
  const blend = (own: Float64Array, of: (toner: TonerOptics) => Float64Array): Float64Array =>
    own.map((value, w) => base.reduce((sum, each) => sum + each.share * of(toners[each.toner]!)[w]!, share * value));
  return { ...toner, K: blend(toner.K, (each) => each.K), S: blend(toner.S, (each) => each.S) };
}

function matches(target: LinearisedTarget, search: SearchSpace): Match[] {
  const problem = linearProblem(target, search.optics);
  const sets = bestSets(problem, search.bounds, search.must, search.most, kept);
  return polish(
    target,
    search,
    sets.map((set) => refineSet(target, search, set)),
  );
}

function polish(target: LinearisedTarget, search: SearchSpace, refined: readonly TonerSet[]): Match[] {
  const sorted = [...refined].sort((a, b) => a.value - b.value);
  return sorted.map((set, rank) => {
    if (rank >= polished) return matchOf(target, search, set);
    // Once more with the slopes of its own colour: it may be some way from the target's.
    const near = matchOf(target, search, set);
    const again = matchOf(target, search, refineSet(linearise(target, near.reflectance), search, set));
    return again.rms < near.rms ? again : near;
  });
}

/** Sets that are tried with one toner more. */
const seedsToGrow = 15;
const firstShare = 0.02;

/**
 * The best linearised sets with each further toner. Where nothing matches closely the linearised problem is rough, and
 * may have dropped a set for a part just below nothing that is really just above.
 */
function grown(target: LinearisedTarget, search: SearchSpace): Match[] {
  const { bounds, must, most } = search;
  if (most <= must.length) return [];
  const seeds = bestSets(linearProblem(target, search.optics), bounds, must, most - 1, seedsToGrow);
  const nearest = seeds.sort((a, b) => a.value - b.value).slice(0, seedsToGrow);
  return nearest.flatMap((seed) =>
    search.optics.flatMap((_, i) => {
      if (seed.members.includes(i)) return [];
      const members = [...seed.members, i];
      const start = [...seed.parts.map((part) => part * (1 - firstShare)), firstShare];
      const parts = clippedShares(
        start,
        members.map((member) => bounds[member]!),
      );
      return parts === undefined
        ? []
        : [matchOf(target, search, refineSet(target, search, { members, parts, value: 0 }))];
    }),
  );
}

/** Sets that are refined twice. */
const polished = 60;

function refineSet(target: LinearisedTarget, search: SearchSpace, { members, parts }: TonerSet): TonerSet {
  const optics = members.map((i) => search.optics[i]!);
  const bounds = members.map((i) => search.bounds[i]!);
  return { members, ...refineParts(target, optics, bounds, parts) };
}

function matchOf(target: Target, search: SearchSpace, { members, parts }: TonerSet): Match {
  const used = members
    .map((member, i) => ({ toner: search.indices[member]!, share: parts[i]! * search.share }))
    .filter(({ toner, share }) => share >= leastShare || search.must.some((m) => search.indices[m] === toner))
    .sort((a, b) => b.share - a.share);
  const components = [...used, ...search.base];
  const reflectance = mixtureReading(search.toners, components, target.surface, target.film);
  const dE00 = differences(target, reflectance);
  return { components, reflectance, dE00, rms: rootMeanSquare(dE00), size: used.length };
}

function tonersOf(match: Match): string {
  return match.components
    .map(({ toner }) => toner)
    .sort((a, b) => a - b)
    .join(' ');
}

/** The nearest match of every set of toners, nearest first. */
function unlike(matched: readonly Match[]): Match[] {
  const best = new Map<string, Match>();
  for (const match of matched) {
    const key = tonersOf(match);
    const known = best.get(key);
    if (known === undefined || match.rms < known.rms) best.set(key, match);
  }
  return [...best.values()].sort((a, b) => a.rms - b.rms);
}

/** The first few that differ from each other in two toners or more. */
function different(found: readonly Match[], most: number): Match[] {
  const picked: Match[] = [];
  for (const match of found) {
    if (picked.length === most) break;
    if (picked.every((other) => unshared(match, other) >= 2)) picked.push(match);
  }
  return picked;
}

/** Those picked, and the first that have another toner in the place of one of each of them. */
function swapped(picked: readonly Match[], found: readonly Match[], most: number): Match[] {
  const all = [...picked];
  for (const match of found) {
    if (all.length === most) break;
    if (all.every((other) => Math.min(onlyIn(match, other), onlyIn(other, match)) >= 1)) all.push(match);
  }
  return all;
}

const unshared = (one: Match, other: Match): number => Math.max(onlyIn(one, other), onlyIn(other, one));

/** Toners of the one that the other lacks. */
const onlyIn = (one: Match, other: Match): number =>
  one.components.filter(({ toner }) => !other.components.some((each) => each.toner === toner)).length;

/** Toners beyond this number are offered only when they buy more than the ± of the prediction. */
const usuallyEnough = 4;

/** Fewer toners are worth showing while they come this many tolerances near. */
const worthShowing = 3;

function matching(solutions: readonly Solution[], tolerance: number): Solution[] {
  return solutions.filter((solution) => solution.rms <= tolerance);
}

/** The best of each number of toners, and different ones near the best; judged and put in order. */
function chosen(all: readonly Match[], request: FormulationRequest): Solution[] {
  const found = weighed(all, request.must ?? []);
  const best = judge(found[0]!, request);
  const perSize: Match[] = [];
  for (let size = 1; size <= best.size; size++) {
    const match = found.find((each) => each.size === size);
    const smaller = perSize.at(-1);
    const buys = smaller === undefined ? Number.POSITIVE_INFINITY : smaller.rms - (match?.rms ?? smaller.rms);
    const reaches =
      smaller !== undefined && smaller.rms > request.tolerance && match !== undefined && match.rms <= request.tolerance;
    const needed = size <= usuallyEnough || reaches ? 0 : Math.max(sameMatch, best.plusMinus);
    if (match !== undefined && buys > needed) perSize.push(match);
  }
  const nearest = perSize.at(-1) ?? found[0]!;
  const near = found.filter(
    ({ size, rms }) =>
      size <= Math.max(nearest.size, usuallyEnough) && rms <= Math.max(request.tolerance, nearest.rms + best.plusMinus),
  );
  const apartInTwo = different([nearest, ...near], differentSolutions);
  // a short shelf has no such sets: then one toner for another is better than no choice at all
  const others = apartInTwo.length < fewSolutions ? swapped(apartInTwo, near, fewSolutions) : apartInTwo;
  const limit = Math.max(worthShowing * request.tolerance, nearest.rms);
  const worth = unlike([...perSize.filter((match) => match.rms <= limit), ...others]).map((match) =>
    judge(match, request),
  );
  return worth.sort(byWorth(request.tolerance));
}

/** Shares below this cannot be weighed in a cup of a few hundred grams; a toner of which so little is needed is not worth its can. */
const leastWeighed = 5e-4;

/** Those that can be weighed, unless only the others come near. */
function weighed(found: readonly Match[], must: readonly number[]): readonly Match[] {
  const can = found.filter(({ components }) =>
    components.every(({ toner, share }) => share >= leastWeighed || must.includes(toner)),
  );
  return can[0] && can[0].rms <= found[0]!.rms + sameMatch ? can : found;
}

function judge(match: Match, request: FormulationRequest): Solution {
  const spectral = request.reading.reflectance !== undefined;
  const { prices } = request;
  return {
    ...match,
    worst: Math.max(...match.dE00),
    plusMinus: request.plusMinus?.(match.components, match.reflectance) ?? 0,
    ...(spectral && match.dE00.length > 1 ? { metamerism: Math.max(...match.dE00.slice(1)) } : {}),
    ...(prices === undefined
      ? {}
      : { cost: match.components.reduce((sum, { toner, share }) => sum + share * (prices[toner] ?? Number.NaN), 0) }),
  };
}

/** What answers are put in order by. */
export interface Worth {
  readonly rms: number;
  readonly plusMinus: number;
  readonly metamerism?: number | null;
  readonly cost?: number | null;
}

/** A ± that differs by less says nothing. */
const samePlusMinus = 0.5;

/**
 * Within the tolerance first; of these what holds under other lights, then what is known much better, then what costs less.
 * Outside it the nearest first. Differences that no eye sees do not count.
 */
export function byWorth(tolerance: number): (a: Worth, b: Worth) => number {
  const steps = (value: number, step: number): number => Math.round(value / step);
  const money = ({ cost }: Worth): number => cost ?? Number.POSITIVE_INFINITY;
  return (a, b) => {
    const outside = Number(a.rms > tolerance) - Number(b.rms > tolerance);
    if (outside !== 0) return outside;
    if (a.rms > tolerance) return a.rms - b.rms;
    return (
      steps(a.metamerism ?? 0, sameMatch) - steps(b.metamerism ?? 0, sameMatch) ||
      steps(a.plusMinus, samePlusMinus) - steps(b.plusMinus, samePlusMinus) ||
      (money(a) === money(b) ? a.rms - b.rms : money(a) - money(b))
    );
  };
}

/** The largest dE00 between any two solutions under each of these lights. */
function apart(solutions: readonly Solution[], lights: readonly Light[]): { light: string; apart: number }[] {
  return lights.map((light) => {
    const labs = solutions.map((solution) => labUnder(light, solution.reflectance));
    let largest = 0;
    for (const one of labs) for (const other of labs) largest = Math.max(largest, deltaE00(one, other));
    return { light: light.name, apart: largest };
  });
}
