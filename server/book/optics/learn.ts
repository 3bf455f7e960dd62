/** Learns the toners of one side of one system from its samples. Plain data in and out: it runs in a worker as well as at once. */

import { parseViewing } from '../../colour/viewing.ts';
import { tristimulusWeights } from '../../colour/weights.ts';
import { coatedReflectance } from '../../paint/effect-coats.ts';
import { labsOfAngles } from '../../paint/effect-colour.ts';
import { differenceError } from '../../paint/effect-difference.ts';
import {
  cardAsLearned,
  type EffectCard,
  type EffectCardCoat,
  type EffectFit,
  filmOf,
  fitEffectToners,
} from '../../paint/effect-fit.ts';
import { type EffectGeometry, effectGeometryNamed } from '../../paint/effect-geometry.ts';
import { undercoatInside } from '../../paint/effect-hiding.ts';
import { type EffectRecord, recordEffectFit } from '../../paint/effect-record.ts';
import { effectErrors, leaveCardsOut } from '../../paint/effect-uncertainty.ts';
import { fitToners, type OpticsFit, type TonerFit } from '../../paint/fit.ts';
import type { FitCard } from '../../paint/fit-model.ts';
import { type FitRecord, recordFit } from '../../paint/fit-record.ts';
import { deltaE00, type Light, labUnder, lightFor } from '../../paint/light.ts';
import { predictedReadings } from '../../paint/predict.ts';
import { defaultSurface } from '../../paint/surface.ts';
import { leftOutDifferences, plusMinus, type UncertaintyModel, uncertaintyModel } from '../../paint/uncertainty.ts';
import { GRID } from './grid.ts';
import { effectKind, solidKind } from './kinds.ts';
import { type Panel, panelsOf } from './panels.ts';
import type { Sample, Samples } from './samples.ts';

/** What the fit says of one toner. Differences are dE00 under the book's main light; of an effect card the mean of its angles. */
export interface LearnedToner {
  readonly code: string;
  readonly kind: string | null;
  /** Cards that hold it, and how many of them hold two further toners or more. */
  readonly cards: number;
  readonly mixtures: number;
  /** Median difference of its cards from what the fit says of them, and from what a fit without each says of it. */
  readonly residual: number | null;
  readonly leftOut: number | null;
  /** Solid: ± of a tint of 20 % in white. Effect: what 9 of 10 of its cards stay within when left out. null: nothing tells. */
  readonly plusMinus: number | null;
  readonly uncertain: NonNullable<TonerFit['uncertain']> | null;
}

export interface MidCoat {
  readonly formula: string | null;
  readonly film: number;
}

/** A fit as it is kept: what it was learned from, how good it is, and the record that predictions are made with. */
export interface Learned {
  readonly key: string;
  readonly system: string;
  readonly side: Samples['side'];
  readonly light: string;
  readonly cards: number;
  readonly film: number;
  readonly coat: number;
  /** dE00 of the cards, each predicted without itself. */
  readonly leftOut: { readonly median: number; readonly ninetieth: number } | null;
  /** Dry film of one mid coat, um, of each step panel that was learned from. */
  readonly mids?: readonly MidCoat[];
  readonly toners: readonly LearnedToner[];
  readonly fit: { readonly solid: FitRecord } | { readonly effect: EffectRecord };
}

/** Errors: RangeError when there is nothing to learn from. */
export function learn(samples: Samples): Learned {
  if (samples.toners.length === 0) throw new RangeError('there is no card to learn from');
  return samples.side === 'solid' ? learnSolid(samples) : learnEffect(samples);
}

/** Residual and left-out difference of one card. */
interface Judged {
  readonly residual: number;
  readonly leftOut: number;
}

function told(samples: Samples, judged: readonly Judged[]) {
  const { key, system, side, light, film, coat } = samples;
  const all = judged.map((one) => one.leftOut).filter(Number.isFinite);
  return {
    key,
    system,
    side,
    light,
    cards: samples.samples.length,
    film,
    coat,
    leftOut: all.length > 0 ? { median: round(quantile(all, 0.5), 3), ninetieth: round(quantile(all, 0.9), 3) } : null,
  };
}

const holds = (sample: Sample, code: string): boolean =>
  sample.shares.some(([one, share]) => one === code && share > 0);

function tonerFacts(samples: Samples, judged: readonly Judged[], code: string) {
  const own = judged.filter((_, n) => holds(samples.samples[n]!, code));
  const finite = (values: number[]) => values.filter(Number.isFinite);
  return {
    cards: own.length,
    mixtures: samples.samples.filter((sample) => holds(sample, code) && sample.shares.length >= 3).length,
    residual: medianOf(finite(own.map((one) => one.residual))),
    leftOut: medianOf(finite(own.map((one) => one.leftOut))),
  };
}

const medianOf = (values: readonly number[]): number | null =>
  values.length > 0 ? round(quantile(values, 0.5), 3) : null;

function quantile(values: readonly number[], p: number): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.floor(p * sorted.length))]!;
}

const round = (value: number, places: number): number => Number(value.toFixed(places));

const indexOf = (samples: Samples): Map<string, number> => new Map(samples.toners.map(({ code }, i) => [code, i]));

// ---- solid ----

/** The samples of a solid fit as its cards. */
export function solidCards(samples: Samples): FitCard[] {
  const index = indexOf(samples);
  return samples.samples.map((sample) => solidCard(samples.saunderson, index, sample));
}

export function solidCard(
  saunderson: Samples['saunderson'],
  index: ReadonlyMap<string, number>,
  sample: Sample,
): FitCard {
  const reading = sample.readings[0]!;
  const { film, under } = sample;
  return {
    components: sample.shares.map(([code, share]) => ({ toner: index.get(code)!, share })),
    reflectance: Float64Array.from(reading.values),
    surface: { ...defaultSurface, ...saunderson, specular: reading.specular },
    ...(film === undefined || under === undefined
      ? {}
      : { film: { thickness: film, under: new Float64Array(reading.values.length).fill(under) } }),
  };
}

function learnSolid(samples: Samples): Learned {
  const cards = solidCards(samples);
  const light = lightFor(samples.light, GRID.start, GRID.step, GRID.count);
  const toners = samples.toners.map(({ code, kind, stated }) => ({
    code,
    kind: solidKind(kind),
    ...(stated ? { stated: { K: Float64Array.from(stated.K), S: Float64Array.from(stated.S) } } : {}),
  }));
  const fit = fitToners({ toners, cards, count: GRID.count });
  const model = uncertaintyModel(fit, cards, light);
  const leftOut = leftOutDifferences(fit, cards, light);
  const judged = fit.cards.map((card, n) => ({
    residual: deltaE00(labUnder(light, card.predicted), labUnder(light, cards[n]!.reflectance)),
    leftOut: leftOut[n]!,
  }));
  const tints = fit.toners.map((_, i) => tintPlusMinus(fit, model, light, cards, i));
  const known = fit.toners.map((toner, i) => withTint(toner, tints[i]!));
  return {
    ...told(samples, judged),
    toners: samples.toners.map(({ code, kind }, i) => ({
      code,
      kind: kind ?? null,
      ...tonerFacts(samples, judged, code),
      plusMinus: tints[i]!,
      uncertain: known[i]!.uncertain ?? null,
    })),
    fit: { solid: recordFit({ ...fit, toners: known }, model) },
  };
}

/** dE00. A tint that may be off by so much is not known: several times what a shop lets pass. A judgement. */
const WIDE = 5;

/** Cards enough, and yet they do not tell: a black that stands in dark mixtures only, say. */
function withTint(toner: TonerFit, tint: number | null): TonerFit {
  if (toner.uncertain !== undefined || toner.samples === 0 || tint === null || tint <= WIDE) return toner;
  return { ...toner, uncertain: 'tint unknown' };
}

/** Share of a toner in the tint by which toners are compared. */
const TINT = 0.2;

/**
 * In the white that its cards hold: of a sealer's black in a sealer's white, not in that of the colours, which it is never mixed with and
 * of which its cards tell nothing.
 */
function tintPlusMinus(
  fit: OpticsFit,
  model: UncertaintyModel,
  light: Light,
  cards: readonly FitCard[],
  toner: number,
): number | null {
  const white = partnerOf(fit, cards, toner);
  if (white === undefined || toner === white || ['binder', 'white'].includes(fit.toners[toner]!.kind)) return null;
  const components = [
    { toner, share: TINT },
    { toner: white, share: 1 - TINT },
  ];
  const { reflectance, variance } = predictedReadings(fit, { components, surface: defaultSurface });
  const { dE00 } = plusMinus(model, light, reflectance, variance, fit.noise);
  return Number.isFinite(dE00) ? round(dE00, 2) : null;
}

/** The white that most cards of a toner hold, else the one that the fit is scaled by. */
function partnerOf(fit: OpticsFit, cards: readonly FitCard[], toner: number): number | undefined {
  const has = (card: FitCard, one: number) => card.components.some((part) => part.toner === one && part.share > 0);
  const own = cards.filter((card) => has(card, toner));
  const whites = fit.toners.flatMap(({ kind }, i) => {
    const shared = kind === 'white' ? own.filter((card) => has(card, i)).length : 0;
    return shared > 0 ? [{ white: i, shared }] : [];
  });
  if (whites.length === 0) return fit.gauge;
  return whites.reduce((a, b) => (b.shared > a.shared ? b : a)).white;
}

// ---- effect ----

/** The samples of an effect fit as its cards. Films that say no thickness are of the usual one; films over nothing hide. */
export function effectCards(
  samples: Pick<Samples, 'film'>,
  index: ReadonlyMap<string, number>,
  geometries: readonly EffectGeometry[],
  list: readonly Sample[],
  panels: readonly Panel[] = [],
): EffectCard[] {
  const place = new Map(geometries.map(({ name }, a) => [name, a]));
  return list.map((sample) => {
    const known = sample.readings.filter(({ geometry }) => place.has(geometry));
    return {
      ...coatOf(index, sample.shares, (sample.film ?? samples.film) / samples.film),
      undercoat: insideOf(new Array(GRID.count).fill(sample.under ?? UNKNOWN_UNDERCOAT)),
      angles: known.map(({ geometry }) => place.get(geometry)!),
      reflectance: known.flatMap(({ values }) => [...values]),
      ...stepCoats(samples, index, sample, panels),
    };
  });
}

const coatOf = (index: ReadonlyMap<string, number>, shares: Sample['shares'], thickness: number): EffectCardCoat => ({
  toners: shares.map(([code]) => index.get(code)!),
  shares: shares.map(([, share]) => share),
  thickness,
});

const insideOf = (values: readonly number[]): Float64Array => Float64Array.from(values, undercoatInside);

/** How a step of a panel is no single film: mid coats of a film that is to be learned, over a ground, bare or predicted. */
function stepCoats(
  samples: Pick<Samples, 'film'>,
  index: ReadonlyMap<string, number>,
  { step }: Sample,
  panels: readonly Panel[],
): Partial<EffectCard> {
  const at = step ? panels.findIndex(({ id }) => id === step.panel) : -1;
  if (!step || at < 0) return {};
  const { film, ground, bare } = panels[at]!;
  const groundThickness = (ground ?? samples.film) / samples.film;
  if (step.coats === 0) return { thickness: groundThickness };
  const mids = { panel: at, thickness: (step.coats * film) / samples.film };
  if (bare) return { ...mids, undercoat: insideOf(bare) };
  return { ...mids, below: [coatOf(index, step.ground, groundThickness)] };
}

/** A middle grey: where nothing is said the film is taken to hide, and what is below hardly matters. */
export const UNKNOWN_UNDERCOAT = 0.2;

const aspecularOrder = (a: EffectGeometry, b: EffectGeometry): number => a.aspecular - b.aspecular;

function learnEffect(samples: Samples): Learned {
  const names = new Set(samples.samples.flatMap((sample) => sample.readings.map(({ geometry }) => geometry)));
  const geometries = [...names].flatMap((name) => effectGeometryNamed(name) ?? []).sort(aspecularOrder);
  const panels = panelsOf(samples.samples, samples.coat);
  const cards = effectCards(samples, indexOf(samples), geometries, samples.samples, panels);
  const kinds = samples.toners.map(({ kind }) => effectKind(kind));
  const fit = fitEffectToners(kinds, GRID, geometries, cards, { panels: panels.map(({ width }) => width) });
  const { illuminant, observer } = parseViewing(samples.light);
  const weights = tristimulusWeights(illuminant, observer, GRID.start, GRID.step, GRID.count);
  const left = leaveCardsOut(fit, cards, weights);
  const mean = (values: readonly number[]) => values.reduce((sum, value) => sum + value, 0) / values.length;
  const judged = cards.map((card, n) => ({
    residual: mean(residuals(fit, card, weights)),
    leftOut: mean(left[n]!.dE00),
  }));
  return {
    ...told(samples, judged),
    ...(panels.length > 0 ? { mids: panels.map((panel, n) => midCoat(panel, fit.panels[n]!.film)) } : {}),
    toners: samples.toners.map(({ code, kind }) => {
      const own = judged.filter((_, n) => holds(samples.samples[n]!, code)).map((one) => one.leftOut);
      const clear = effectKind(kind) === 'clear';
      return {
        code,
        kind: kind ?? null,
        ...tonerFacts(samples, judged, code),
        plusMinus: clear || own.length === 0 ? null : round(quantile(own, 0.9), 2),
        uncertain: !clear && own.length < FEW_CARDS ? ('few cards' as const) : null,
      };
    }),
    fit: {
      effect: recordEffectFit(
        fit,
        samples.toners.map(({ code }) => code),
        effectErrors(fit, cards, left),
        differenceError(cards, left),
      ),
    },
  };
}

const midCoat = ({ formula, film }: Panel, learned: number): MidCoat => ({
  formula: formula ?? null,
  film: round(film * learned, 3),
});

const FEW_CARDS = 3;

function residuals(fit: EffectFit, card: EffectCard, weights: ReturnType<typeof tristimulusWeights>): number[] {
  const model = { ...fit, geometries: card.angles.map((a) => fit.geometries[a]!) };
  const film = filmOf(cardAsLearned(fit, card), fit.toners);
  const read = labsOfAngles(Float64Array.from(card.reflectance), weights);
  return labsOfAngles(coatedReflectance(model, film), weights).map((lab, n) => deltaE00(read[n]!, lab));
}
