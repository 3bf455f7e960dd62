/** Formulas for an effect colour: from the formulas that come nearest, and from toner sets grown one by one. */
import type { Book } from '../book/book.ts';
import { angleAt, labOf } from '../book/colours.ts';
import { shopOf, tonerNamed } from '../book/known.ts';
import { partsOfShares } from '../book/optics/amounts.ts';
import { insideOf } from '../book/optics/below.ts';
import { GRID, onGrid } from '../book/optics/grid.ts';
import { bestHiding, coatsOver } from '../book/optics/hiding.ts';
import { effectOptics } from '../book/optics/optics.ts';
import { type EffectPaint, paintOf } from '../book/optics/predicted.ts';
import { recipeNamed } from '../book/recipe.ts';
import { deltaE00 } from '../colour/ciede2000.ts';
import type { Lab } from '../colour/lab.ts';
import { viewingText } from '../colour/viewing.ts';
import { tristimulusWeights } from '../colour/weights.ts';
import { labsOfAngles } from '../paint/effect-colour.ts';
import { type EffectMatch, searchEffectFormulas } from '../paint/effect-formulate.ts';
import { effectGeometryNamed } from '../paint/effect-geometry.ts';
import { type EffectMixture, type EffectTarget, matchedReflectance } from '../paint/effect-match.ts';
import type { EffectToner } from '../paint/effect-model.ts';
import { effectPlusMinus, formulaKind } from '../paint/effect-uncertainty.ts';
import { costOfParts, type Found, partsShown, type Solution, type Task } from './formulate.ts';
import { vocOfParts } from './formulate-limits.ts';
import { match } from './match.ts';
import { rounded } from './number.ts';

/** Formulas whose toners the search begins with. */
const STARTS = 6;
const ANSWERS = 5;
/** Sets nearer to each other than this are the same to any eye. */
const SAME = 0.1;

export function formulateEffect(task: Task): Found {
  const optics = effectOptics(task.learned);
  if (!optics) throw new RangeError('the recorded fit cannot be read: run pourbook fit --write');
  const codes = [...optics.toners.keys()];
  const toners = codes.map((code) => optics.toners.get(code)!);
  const place = (code: string): number => codes.indexOf(code);
  const target = targetOf(task, optics.model);
  const base: EffectMixture = task.binder
    ? { members: [place(task.binder.code)], shares: [task.binder.share] }
    : { members: [], shares: [] };
  const near = searchEffectFormulas({
    target,
    toners,
    candidates: task.candidates.map(place),
    must: task.must.map(place),
    most: new Map([...task.limits].map(([code, share]) => [place(code), share])),
    size: task.most,
    base,
    starts: startsFor(task, codes),
  });
  const { judge } = task;
  const found = judge ? near.filter((one) => judge.allows(partsOf(task.book, codes, one))) : near;
  const [best] = found;
  if (!best) return { solutions: [], reachable: false, unique: false, equals: 0, undetermined: [], notes: [] };
  const plusMinus = (one: EffectMatch): number => widest(target, optics.errors, toners, one);
  const within = Math.max(SAME, plusMinus(best) / 2);
  const equals = found.filter((one) => one.size <= best.size && one.rms <= best.rms + within).length;
  const chosen = differing(found, task.tolerance, plusMinus(best));
  return {
    solutions: chosen.map((one) => shown(task, target, codes, toners, one, plusMinus(one))),
    reachable: best.rms <= task.tolerance,
    unique: task.spectral && equals <= 1,
    equals,
    undetermined: task.spectral ? [] : apart(task, target, toners, chosen),
    notes: [],
  };
}

const partsOf = (book: Book, codes: readonly string[], { members, shares }: EffectMixture): Map<string, number> =>
  partsOfShares(book, new Map(members.map((member, i) => [codes[member]!, shares[i]!])));

function targetOf(task: Task, fitted: EffectTarget['model']): EffectTarget {
  const { book, colours, spectral } = task;
  const usable = task.geometries.filter((geometry) => effectGeometryNamed(geometry) !== undefined);
  if (usable.length === 0) throw new RangeError('the reading has no angle that effect colours are computed at');
  const { viewings } = shopOf(book);
  const used = spectral ? viewings : viewings.slice(0, 1);
  const spectra = usable.map((geometry) => {
    const { spectrum } = angleAt(colours, geometry)!;
    return spectrum && onGrid(spectrum);
  });
  const complete = spectra.every((one) => one !== undefined);
  return {
    model: { ...fitted, geometries: usable.map((geometry) => effectGeometryNamed(geometry)!) },
    lights: used.map(({ illuminant, observer }) =>
      tristimulusWeights(illuminant, observer, GRID.start, GRID.step, GRID.count),
    ),
    labs: used.map((viewing) =>
      usable.map((geometry): Lab => labOf(angleAt(colours, geometry)!, viewing, colours.bandpass)!),
    ),
    ...(complete ? { reflectance: Float64Array.from(spectra.flat() as number[]) } : {}),
    thickness: task.film === undefined ? 1 : task.film / task.learned.film,
    undercoat: insideOf(task.below),
  };
}

/** Toners of the nearest formulas of the system, as far as they are of one coat and without their binder. */
function startsFor(task: Task, codes: readonly string[]): EffectMixture[] {
  return match(task.book, task.reading, STARTS).candidates.flatMap(({ formula }) => {
    const recipe = recipeNamed(task.book, formula);
    const paint = recipe && paintOf(task.book, recipe);
    if (!paint || 'none' in paint || paint.side !== 'effect' || paint.learned !== task.learned) return [];
    const [coat, ...others] = paint.coats;
    if (!coat || others.length > 0) return [];
    const own = coat.codes
      .map((code, i) => ({ code, share: coat.shares[i]! }))
      .filter(({ code }) => tonerNamed(task.book, code)?.kind !== 'binder');
    if (own.length === 0) return [];
    return [{ members: own.map(({ code }) => codes.indexOf(code)), shares: own.map(({ share }) => share) }];
  });
}

function widest(
  target: EffectTarget,
  errors: Parameters<typeof effectPlusMinus>[0],
  toners: readonly EffectToner[],
  one: EffectMixture,
): number {
  const kind = formulaKind(
    one.members.map((member) => toners[member]!),
    one.shares,
  );
  return Math.max(...target.model.geometries.map(({ name }) => effectPlusMinus(errors, name, kind) ?? 2));
}

/** Toners beyond this number are offered only when they buy more than the ± of the prediction. */
const USUALLY_ENOUGH = 4;

/** Different ones near the best, two toners apart at least, and those that do with fewer. */
function differing(found: readonly EffectMatch[], tolerance: number, plusMinus: number): EffectMatch[] {
  const [best] = found;
  const limit = Math.max(tolerance, best!.rms + plusMinus);
  const small = found.find(({ size }) => size <= USUALLY_ENOUGH);
  const reaches = small !== undefined && (small.rms <= tolerance || best!.rms > tolerance);
  const enough = reaches && small.rms <= best!.rms + Math.max(SAME, plusMinus);
  const near = found.filter(({ rms, size }) => rms <= limit && !(enough && size > USUALLY_ENOUGH));
  const picked: EffectMatch[] = [];
  const only = (a: EffectMixture, b: EffectMixture) => a.members.filter((member) => !b.members.includes(member)).length;
  for (const one of near) {
    if (picked.length === ANSWERS) break;
    const fewer = picked.every((other) => one.size < other.size);
    if (fewer || picked.every((other) => Math.max(only(one, other), only(other, one)) >= 2)) picked.push(one);
  }
  return picked;
}

function shown(
  task: Task,
  target: EffectTarget,
  codes: readonly string[],
  toners: readonly EffectToner[],
  one: EffectMatch,
  plusMinus: number,
): Solution {
  const { book, learned, state } = task;
  const parts = partsOf(book, codes, one);
  const { viewings } = shopOf(book);
  const all = one.dE00.flatMap((angles, l) =>
    angles.map((dE00, a) => ({
      geometry: target.model.geometries[a]!.name,
      illuminant: viewings[l]!.illuminant,
      dE00: rounded(dE00, 3),
    })),
  );
  const paint: EffectPaint = {
    side: 'effect',
    learned,
    state,
    undercoat: undefined,
    midCoat: learned.coat,
    optics: effectOptics(learned)!,
    coats: [
      {
        name: 'top',
        times: undefined,
        codes: one.members.map((member) => codes[member]!),
        toners: one.members.map((member) => toners[member]!),
        shares: one.shares,
      },
    ],
  };
  const hides = bestHiding(book, paint);
  const over = task.below && coatsOver(book, paint, task.below);
  return {
    toners: partsShown(parts),
    dE00: rounded(one.rms, 3),
    worst: all.reduce((far, each) => (each.dE00 > far.dE00 ? each : far)),
    plusMinus: rounded(plusMinus, 2),
    metamerism: one.dE00.length > 1 ? rounded(Math.max(...one.dE00.slice(1).flat()), 3) : null,
    cost: costOfParts(book, parts),
    voc: vocOfParts(book, task.system, parts).value,
    coats: hides?.coats == null ? null : rounded(hides.coats, 1),
    bestGrey: hides ? { munsellValue: rounded(hides.munsellValue, 1), lightness: rounded(hides.lightness, 1) } : null,
    coatsOver: over == null ? null : rounded(over, 1),
  };
}

/** How far the answers part at any angle under each further light. */
function apart(
  task: Task,
  target: EffectTarget,
  toners: readonly EffectToner[],
  chosen: readonly EffectMatch[],
): Found['undetermined'] {
  const readings = chosen.map((one) => matchedReflectance(target, toners, one));
  return shopOf(task.book)
    .viewings.slice(1)
    .map((viewing) => {
      const weights = tristimulusWeights(viewing.illuminant, viewing.observer, GRID.start, GRID.step, GRID.count);
      const labs = readings.map((reading) => labsOfAngles(reading, weights));
      let largest = 0;
      for (const one of labs)
        for (const other of labs)
          one.forEach((lab, a) => {
            largest = Math.max(largest, deltaE00(lab, other[a]!));
          });
      return { light: viewingText(viewing), apart: rounded(largest, 2) };
    });
}
