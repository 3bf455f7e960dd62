/** Correcting an effect colour at every angle that card and standard share. */
import { angleAt, coloursIn, labOf } from '../book/colours.ts';
import { toleranceFor } from '../book/entries/shop.ts';
import { shopOf } from '../book/known.ts';
import { insideOf } from '../book/optics/below.ts';
import { GRID, onGrid } from '../book/optics/grid.ts';
import { type EffectCoat, type EffectPaint, thicknessOf } from '../book/optics/predicted.ts';
import type { Sample } from '../book/optics/samples.ts';
import { deltaE00 } from '../colour/ciede2000.ts';
import type { Lab } from '../colour/lab.ts';
import { tristimulusWeights } from '../colour/weights.ts';
import { customaryPart } from '../paint/correct.ts';
import { type CoatedFilm, coatedReflectance } from '../paint/effect-coats.ts';
import { labsOfAngles } from '../paint/effect-colour.ts';
import { addToEffectCup, broughtToCard, effectGap, reviseEffect } from '../paint/effect-correct.ts';
import { undercoatInside } from '../paint/effect-hiding.ts';
import { type EffectMixture, type EffectTarget, effectDifferences, meanDifference } from '../paint/effect-match.ts';
import type { EffectToner } from '../paint/effect-model.ts';
import { lightnessOfLuminance } from '../paint/munsell.ts';
import type { Correction, CorrectionTask, CupCorrection, FilmCounted, MidCoats } from './correct.ts';
import { doubtIn, furthestApart } from './correct-doubt.ts';
import { TRACE, WORTH_A_TONER } from './correct-toner.ts';

/**
 * Cards of one effect formula differ by about so much however well they are sprayed: a judgement until a shop's own cards tell
 * (two cards of the formula at hand are believed instead).
 */
const USUAL_NOISE = 0.4;
/** Misses below this many times the noise are as likely made worse as better. */
const WORTH_CHANGING = 2;
const SMALL_MISS = 1.5;
/**
 * dE00 by which another coat has to come nearer to be changed instead of the one that is seen, and new parts to be mixed instead of
 * one coat more or less being sprayed.
 */
const LITTLE_NEARER = 0.2;

export function correctEffect(task: CorrectionTask, paint: EffectPaint): Correction {
  const base = targetOf(task, paint);
  const readings = task.cards.map(({ sample }) => readingOf(sample, base));
  const shown = meanOf(readings);
  const aimed = broughtToCard(base, filmOnCard(task, paint), shown);
  const before = meanDifference(effectDifferences(base, shown));
  const all = coatsToTry(task, paint).map((coat) => changeOf(paint, aimed, coat));
  const best = all.reduce((a, b) => (b.revised.after < a.revised.after - LITTLE_NEARER ? b : a));
  const colours = task.cards.map(({ id }, n) => ({ id, labs: labsOfAngles(readings[n]!, base.lights[0]!) }));
  const apart = furthestApart(colours)?.dE00;
  const noise = apart === undefined ? USUAL_NOISE : Math.max(apart, USUAL_NOISE / 2);
  const cardNoise = noise / Math.sqrt(readings.length);
  const off = effectDifferences(base, shown)[0]!.map((dE00, a) => ({ geometry: base.model.geometries[a]!.name, dE00 }));
  const doubt = doubtIn(colours, off, before - best.revised.after);
  const again = before <= WORTH_CHANGING * cardNoise || doubt !== undefined;
  const midCoats = otherNumber(task, paint, aimed);
  // who names a coat wants its toners changed
  const nearer =
    task.coat === undefined &&
    midCoats !== undefined &&
    midCoats.after < Math.min(best.revised.after + LITTLE_NEARER, before);
  const usual = before < SMALL_MISS ? 'part' : 'revised';
  return {
    before,
    cardNoise,
    revised: best.revised,
    part: { ...best.part, of: customaryPart },
    take: again ? 'spray again' : nearer ? 'coats' : usual,
    ...(paint.coats.length > 1
      ? { coat: best.coat, coats: all.map(({ coat, revised }) => ({ coat, after: revised.after })) }
      : { film: showingOf(task, paint, base) }),
    ...(midCoats ? { midCoats } : {}),
    ...withOneMore(task, paint, aimed, best),
    ...(doubt ? { doubt } : {}),
  };
}

export function correctEffectCup(
  task: CorrectionTask,
  paint: EffectPaint,
  cup: ReadonlyMap<string, number>,
): CupCorrection {
  const { toners, codes } = shelfOf(paint);
  const base = targetOf(task, paint);
  const readings = task.cards.map(({ sample }) => readingOf(sample, base));
  const aimed = readings.length > 0 ? broughtToCard(base, filmOnCard(task, paint), meanOf(readings)) : base;
  const coat = paint.coats.find(({ name }) => name === task.coat) ?? paint.coats.at(-1)!;
  const target = within(paint, aimed, coat);
  const mixture = mixtureOf(paint, coat);
  const missing = [...cup.keys()].filter((code) => !codes.includes(code));
  if (missing.length > 0) throw new RangeError(`no card holds ${missing.join(', ')}, which is in the cup`);
  const members = [...new Set([...cup.keys()].map((code) => codes.indexOf(code)).concat(mixture.members))];
  const weights = members.map((member) => cup.get(codes[member]!) ?? 0);
  const tolerance = toleranceFor(shopOf(task.book), '45as45').limit;
  const gapOf = (shares: ReadonlyMap<string, number>) =>
    effectGap(target, toners, {
      members: [...shares.keys()].map((code) => codes.indexOf(code)),
      shares: [...shares.values()],
    });
  const found = addToEffectCup(target, toners, members, weights, tolerance);
  return {
    added: new Map(
      members.flatMap((member, i) => (found.added[i]! > 0 ? [[codes[member]!, found.added[i]!] as const] : [])),
    ),
    before: gapOf(cup),
    after: found.after,
    tolerance,
    reaches: found.reaches,
    gapOf,
  };
}

/** Toners of the fit by place, as the search counts them. */
const shelfOf = ({ optics }: EffectPaint): { toners: readonly EffectToner[]; codes: readonly string[] } => ({
  toners: [...optics.toners.values()],
  codes: [...optics.toners.keys()],
});

function mixtureOf(paint: EffectPaint, coat: EffectCoat): EffectMixture {
  const { codes } = shelfOf(paint);
  return { members: coat.codes.map((code) => codes.indexOf(code)), shares: coat.shares };
}

/** The coat that is named; else all, the one that is seen first, because the number of its coats and its toners are what a shop changes. */
function coatsToTry({ coat }: CorrectionTask, { coats }: EffectPaint): EffectCoat[] {
  const upwards = [...coats].reverse();
  return coat === undefined ? upwards : upwards.filter(({ name }) => name === coat);
}

/** A coat of a paint as what is looked for, the others as the formula has them. */
function within(paint: EffectPaint, target: EffectTarget, coat: EffectCoat, times = coat.times): EffectTarget {
  if (paint.coats.length === 1) return target;
  const at = paint.coats.indexOf(coat);
  const layers = paint.coats.map((one) => ({ ...one, thickness: thicknessOf(paint, one) }));
  return {
    ...target,
    thickness: thicknessOf(paint, coat, times),
    above: layers.slice(at + 1).reverse(),
    below: layers.slice(0, at).reverse(),
  };
}

type CoatChange = Pick<Correction, 'revised' | 'part'> & { readonly coat: EffectCoat['name'] };

/** The parts of one coat that bring the colour nearest. */
function changeOf(paint: EffectPaint, aimed: EffectTarget, coat: EffectCoat): CoatChange {
  const { toners, codes } = shelfOf(paint);
  const target = within(paint, aimed, coat);
  const mixture = mixtureOf(paint, coat);
  const revised = reviseEffect(target, toners, mixture, keptIn(paint, coat));
  const partial = partOfTheWay(mixture, revised, customaryPart);
  const shares = (one: EffectMixture) => new Map(one.members.map((member, i) => [codes[member]!, one.shares[i]!]));
  return {
    coat: coat.name,
    revised: { shares: shares(revised), after: revised.after },
    part: { shares: shares(partial), after: effectGap(target, toners, partial), of: customaryPart },
  };
}

/**
 * The binders of a coat that has to hide: their share hardly shows in its colour, so a search that is free to change it takes a third of
 * the binder out for a tenth of a dE00. Of a mid coat it tells how much of its toners there is.
 */
function keptIn(paint: EffectPaint, { name, codes }: EffectCoat): ReadonlySet<number> {
  const shelf = shelfOf(paint).codes;
  const binder = (code: string) => paint.learned.toners.some((one) => one.code === code && one.kind === 'binder');
  const others = codes.filter((code) => !binder(code)).length;
  return new Set(name === 'mid' || others < 2 ? [] : codes.filter(binder).map((code) => shelf.indexOf(code)));
}

/** The one toner besides that brings the coat nearest, where its own do not bring it within the tolerance. */
function withOneMore(
  task: CorrectionTask,
  paint: EffectPaint,
  aimed: EffectTarget,
  { coat: name, revised }: CoatChange,
): Pick<Correction, 'withToner'> {
  if (revised.after <= toleranceFor(shopOf(task.book), '45as45').limit) return {};
  const { toners, codes } = shelfOf(paint);
  const coat = paint.coats.find((one) => one.name === name)!;
  const target = within(paint, aimed, coat);
  const { members, shares } = mixtureOf(paint, coat);
  const known = paint.learned.toners.filter(
    ({ code, plusMinus, uncertain }) => plusMinus !== null && uncertain === null && !coat.codes.includes(code),
  );
  const tried = known.map(({ code }) => ({
    code,
    ...reviseEffect(
      target,
      toners,
      { members: [...members, codes.indexOf(code)], shares: [...shares, TRACE] },
      keptIn(paint, coat),
    ),
  }));
  if (tried.length === 0) return {};
  const best = tried.reduce((a, b) => (b.after < a.after ? b : a));
  if (best.after > revised.after - WORTH_A_TONER) return {};
  const parts = new Map(best.members.map((member, i) => [codes[member]!, best.shares[i]!]));
  return { withToner: { toner: best.code, shares: parts, after: best.after } };
}

/** One mid coat less or more with the formula's own toners: as a step of the panel was read, else as predicted. */
function otherNumber(task: CorrectionTask, paint: EffectPaint, aimed: EffectTarget): MidCoats | undefined {
  const mid = paint.coats.at(-1)!;
  if (mid.name !== 'mid' || !mid.times || (task.coat ?? 'mid') !== 'mid') return undefined;
  const { toners } = shelfOf(paint);
  const gaps = [mid.times - 1, mid.times + 1]
    .filter((coats) => coats > 0)
    .map((coats): MidCoats => {
      const step = task.steps.find(({ sample }) => sample.step?.coats === coats && readsAll(sample, aimed));
      if (step) {
        const after = meanDifference(effectDifferences(aimed, readingOf(step.sample, aimed)));
        return { coats, now: mid.times!, after, card: step.id };
      }
      const after = effectGap(within(paint, aimed, mid, coats), toners, mixtureOf(paint, mid));
      return { coats, now: mid.times!, after, card: null };
    });
  return gaps.reduce((a, b) => (b.after < a.after ? b : a));
}

const readsAll = (sample: Sample, { model }: EffectTarget): boolean =>
  model.geometries.every(({ name }) => sample.readings.some(({ geometry }) => geometry === name));

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
    thickness: filmThickness(task, paint),
    undercoat: belowCard(task, paint),
  };
}

function filmThickness({ cards }: CorrectionTask, paint: EffectPaint): number {
  const film = cards[0]?.sample.film;
  return film === undefined ? thicknessOf(paint, paint.coats.at(-1)!) : film / paint.learned.film;
}

const readingOf = (sample: Sample, { model }: EffectTarget): Float64Array =>
  Float64Array.from(
    model.geometries.flatMap(({ name }) => [...sample.readings.find(({ geometry }) => geometry === name)!.values]),
  );

const meanOf = (readings: readonly Float64Array[]): Float64Array =>
  readings[0]!.map((_, at) => readings.reduce((sum, one) => sum + one[at]!, 0) / readings.length);

/** All coats of the first card as they were sprayed, with the formula's own parts: cards from a cup differ in the last gram. */
function filmOnCard(task: CorrectionTask, paint: EffectPaint): CoatedFilm {
  const { film, step } = task.cards[0]!.sample;
  const [top, ...below] = paint.coats
    .map((coat) => ({ ...coat, thickness: thicknessOf(paint, coat, step?.coats ?? coat.times) }))
    .reverse();
  const thickness = film === undefined ? top!.thickness : film / paint.learned.film;
  return { ...top!, thickness, undercoat: belowCard(task, paint), below };
}

/** What is below all coats, from inside the film: as the card says it, else as the formula does. */
function belowCard(task: CorrectionTask, paint: EffectPaint): Float64Array {
  const under = task.cards[0]?.sample.under;
  return under === undefined ? insideOf(paint.undercoat) : new Float64Array(GRID.count).fill(undercoatInside(under));
}

/** dE00 per angle between two readings, main light. */
function differencesBetween({ lights }: EffectTarget, one: Float64Array, other: Float64Array): number[] {
  const [labs, others] = [labsOfAngles(one, lights[0]!), labsOfAngles(other, lights[0]!)];
  return labs.map((lab, a) => deltaE00(lab, others[a]!));
}

/** Thicker than any panel. */
const HIDING = 20;

/** How much of the undercoat shows through the card's film, where the card tells film and undercoat. */
function showingOf(task: CorrectionTask, paint: EffectPaint, target: EffectTarget): FilmCounted | undefined {
  const { film, under } = task.cards[0]!.sample;
  if (film === undefined || under === undefined) return undefined;
  const onCard = filmOnCard(task, paint);
  const thick = coatedReflectance(target.model, { ...onCard, thickness: HIDING * onCard.thickness });
  const shows = differencesBetween(target, coatedReflectance(target.model, onCard), thick);
  return { um: film, lightness: lightnessOfLuminance(100 * under), shows: Math.max(...shows) };
}

/** What does not move keeps its share; the others share out what is left. */
function partOfTheWay(from: EffectMixture, to: EffectMixture, part: number): EffectMixture {
  const moves = from.shares.map((share, i) => share !== to.shares[i]);
  const shares = from.shares.map((share, i) => share ** (1 - part) * Math.max(to.shares[i]!, 1e-9) ** part);
  const sumOf = (list: readonly number[]) => list.reduce((sum, share, i) => sum + (moves[i] ? share : 0), 0);
  const scale = sumOf(from.shares) / sumOf(shares);
  return { members: from.members, shares: shares.map((share, i) => (moves[i] ? scale * share : from.shares[i]!)) };
}
