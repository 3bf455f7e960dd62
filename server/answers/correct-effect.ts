/** Correcting an effect colour at every angle that card and standard share. */
import { angleAt, coloursIn, labOf } from '../book/colours.ts';
import { toleranceFor } from '../book/entries/shop.ts';
import { shopOf } from '../book/known.ts';
import { insideOf } from '../book/optics/below.ts';
import { GRID, onGrid } from '../book/optics/grid.ts';
import { belowTop, type EffectPaint } from '../book/optics/predicted.ts';
import type { Sample } from '../book/optics/samples.ts';
import { deltaE00 } from '../colour/ciede2000.ts';
import type { Lab } from '../colour/lab.ts';
import { tristimulusWeights } from '../colour/weights.ts';
import { customaryPart } from '../paint/correct.ts';
import { labsOfAngles } from '../paint/effect-colour.ts';
import { addToEffectCup, broughtToCard, type EffectShown, effectGap, reviseEffect } from '../paint/effect-correct.ts';
import { undercoatInside } from '../paint/effect-hiding.ts';
import { type EffectMixture, type EffectTarget, effectDifferences, meanDifference } from '../paint/effect-match.ts';
import type { EffectToner } from '../paint/effect-model.ts';
import type { Correction, CorrectionTask, CupCorrection } from './correct.ts';

/**
 * Cards of one effect formula differ by about so much however well they are sprayed: a judgement until a shop's own cards tell
 * (two cards of the formula at hand are believed instead).
 */
const USUAL_NOISE = 0.4;
/** Misses below this many times the noise are as likely made worse as better. */
const WORTH_CHANGING = 2;
const SMALL_MISS = 1.5;

export function correctEffect(task: CorrectionTask, paint: EffectPaint): Correction {
  const sides = sidesOf(task, paint);
  const { target, toners, mixture, codes } = sides;
  const readings = task.cards.map(({ sample }) => readingOf(sample, target));
  const shown = shownBy(task, paint, sides, readings);
  const aimed = broughtToCard(target, toners, shown, 1);
  const before = meanDifference(effectDifferences(target, shown.reflectance));
  const revised = reviseEffect(aimed, toners, mixture);
  const partial = partOfTheWay(mixture, revised, customaryPart);
  const after = effectGap(aimed, toners, partial);
  const apart = largestApart(target, readings);
  const cardNoise = (readings.length > 1 ? Math.max(apart, USUAL_NOISE / 2) : USUAL_NOISE) / Math.sqrt(readings.length);
  const again = before <= WORTH_CHANGING * cardNoise || (readings.length > 1 && apart > before);
  const shares = (one: EffectMixture) => new Map(one.members.map((member, i) => [codes[member]!, one.shares[i]!]));
  return {
    before,
    cardNoise,
    revised: { shares: shares(revised), after: revised.after },
    part: { shares: shares(partial), after, of: customaryPart },
    take: again ? 'spray again' : before < SMALL_MISS ? 'part' : 'revised',
  };
}

export function correctEffectCup(
  task: CorrectionTask,
  paint: EffectPaint,
  cup: ReadonlyMap<string, number>,
): CupCorrection {
  const sides = sidesOf(task, paint);
  const { target, toners, mixture, codes } = sides;
  const readings = task.cards.map(({ sample }) => readingOf(sample, target));
  const aimed = readings.length > 0 ? broughtToCard(target, toners, shownBy(task, paint, sides, readings), 1) : target;
  const missing = [...cup.keys()].filter((code) => !codes.includes(code));
  if (missing.length > 0) throw new RangeError(`no card holds ${missing.join(', ')}, which is in the cup`);
  const members = [...new Set([...cup.keys()].map((code) => codes.indexOf(code)).concat(mixture.members))];
  const weights = members.map((member) => cup.get(codes[member]!) ?? 0);
  const tolerance = toleranceFor(shopOf(task.book), '45as45').limit;
  const before = effectGap(aimed, toners, { members, shares: weights });
  const found = addToEffectCup(aimed, toners, members, weights, tolerance);
  return {
    added: new Map(
      members.flatMap((member, i) => (found.added[i]! > 0 ? [[codes[member]!, found.added[i]!] as const] : [])),
    ),
    before,
    after: found.after,
    tolerance,
    reaches: found.reaches,
  };
}

interface Sides {
  readonly target: EffectTarget;
  readonly toners: readonly EffectToner[];
  readonly codes: readonly string[];
  /** The formula as it is. */
  readonly mixture: EffectMixture;
}

function sidesOf(task: CorrectionTask, paint: EffectPaint): Sides {
  const codes = [...paint.optics.toners.keys()];
  const coat = paint.coats[0]!;
  return {
    target: targetOf(task, paint),
    toners: codes.map((code) => paint.optics.toners.get(code)!),
    codes,
    mixture: { members: coat.codes.map((code) => codes.indexOf(code)), shares: coat.shares },
  };
}

/** The standard at the angles that all cards have too; under every light where it has spectra, else under the main one. */
function targetOf(task: CorrectionTask, paint: EffectPaint): EffectTarget {
  const { viewings } = shopOf(task.book);
  const standard = coloursIn(task.book, task.standard);
  const geometries = paint.optics.model.geometries.filter(({ name }) => {
    const angle = angleAt(standard, name);
    const carded = task.cards.every(({ sample }) => sample.readings.some(({ geometry }) => geometry === name));
    return carded && angle !== undefined && labOf(angle, viewings[0]!, standard.bandpass) !== undefined;
  });
  if (geometries.length === 0) throw new RangeError('standard and card have no measuring angle in common');
  const spectra = geometries.map(({ name }) => {
    const { spectrum } = angleAt(standard, name)!;
    return spectrum && onGrid(spectrum);
  });
  const spectral = spectra.every((one) => one !== undefined);
  const used = spectral ? viewings : viewings.slice(0, 1);
  return {
    model: { ...paint.optics.model, geometries },
    lights: used.map(({ illuminant, observer }) =>
      tristimulusWeights(illuminant, observer, GRID.start, GRID.step, GRID.count),
    ),
    labs: used.map((viewing) =>
      geometries.map(({ name }): Lab => labOf(angleAt(standard, name)!, viewing, standard.bandpass)!),
    ),
    ...(spectral ? { reflectance: Float64Array.from(spectra.flat() as number[]) } : {}),
    thickness: 1,
    undercoat: belowTop(paint),
  };
}

const readingOf = (sample: Sample, { model }: EffectTarget): Float64Array =>
  Float64Array.from(
    model.geometries.flatMap(({ name }) => [...sample.readings.find(({ geometry }) => geometry === name)!.values]),
  );

/** The mean of the cards, as the formula's own parts. */
function shownBy(
  task: CorrectionTask,
  paint: EffectPaint,
  { mixture }: Sides,
  readings: readonly Float64Array[],
): EffectShown {
  const [first] = task.cards;
  const { film, under } = first!.sample;
  const reflectance = readings[0]!.map((_, at) => readings.reduce((sum, one) => sum + one[at]!, 0) / readings.length);
  return {
    ...mixture,
    thickness: film === undefined ? 1 : film / paint.learned.film,
    undercoat:
      under === undefined
        ? insideOf(paint.undercoat)
        : new Float64Array(GRID.count).fill(undercoatInside(under)),
    reflectance,
  };
}

/** Largest dE00 (root mean square over the angles, main light) between two cards. */
function largestApart({ lights }: EffectTarget, readings: readonly Float64Array[]): number {
  const labs = readings.map((reading) => labsOfAngles(reading, lights[0]!));
  let largest = 0;
  for (const one of labs)
    for (const other of labs)
      largest = Math.max(largest, meanDifference([one.map((lab, a) => deltaE00(lab, other[a]!))]));
  return largest;
}

function partOfTheWay(from: EffectMixture, to: EffectMixture, part: number): EffectMixture {
  const total = from.shares.reduce((sum, share) => sum + share, 0);
  const shares = from.shares.map((share, i) => share ** (1 - part) * Math.max(to.shares[i]!, 1e-9) ** part);
  const sum = shares.reduce((whole, share) => whole + share, 0);
  return { members: from.members, shares: shares.map((share) => (total * share) / sum) };
}
