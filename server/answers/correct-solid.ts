/** Correcting a solid colour by the learned K and S, brought to the card. */
import type { EntryCell } from '../book/cell.ts';
import { type Angle, angleAt, coloursIn, labOf } from '../book/colours.ts';
import { toleranceFor } from '../book/entries/shop.ts';
import { shopOf } from '../book/known.ts';
import { GRID, onGrid } from '../book/optics/grid.ts';
import { solidCard } from '../book/optics/learn.ts';
import type { SolidPaint } from '../book/optics/predicted.ts';
import { samplesOf } from '../book/optics/samples.ts';
import { viewingText } from '../colour/viewing.ts';
import {
  addToCup,
  type CorrectionAdvice,
  type CorrectionTarget,
  correctFormula,
  customaryPart,
  paintAfterCard,
  predictedGap,
  revise,
  type ShownPaint,
  sprayedFilm,
} from '../paint/correct.ts';
import type { FitCard } from '../paint/fit-model.ts';
import { mixtureReading, type SprayedFilm } from '../paint/formulate-target.ts';
import { deltaE00, labUnder, lightFor } from '../paint/light.ts';
import type { Component } from '../paint/mixture.ts';
import { lightnessOfLuminance } from '../paint/munsell.ts';
import { smoothReflectance } from '../paint/smooth-reflectance.ts';
import type { Correction, CorrectionTask, CupCorrection, FilmCounted } from './correct.ts';
import { doubtIn } from './correct-doubt.ts';
import { TRACE, WORTH_A_TONER } from './correct-toner.ts';

export function correctSolid(task: CorrectionTask, paint: SolidPaint): Correction {
  const { optics, learned } = paint;
  const cards = cardsOf(task, paint);
  const aim = aimOf(task, paint);
  const found = correctFormula(optics.fit, optics.model, cards, aim, learned.cards);
  const shares = (components: readonly Component[]) => withOwnBinder(paint, components);
  const colours = cards.map(({ reflectance }, n) => ({
    id: task.cards[n]!.id,
    labs: [labUnder(aim.lights[0]!, reflectance)],
  }));
  const off = [{ geometry: paint.geometry, dE00: found.before }];
  const doubt = doubtIn(colours, off, found.before - found.revised.after);
  return {
    before: found.before,
    cardNoise: found.cardNoise,
    revised: { shares: shares(found.revised.components), after: found.revised.after },
    part: { shares: shares(found.part.components), after: found.part.after, of: customaryPart },
    take: doubt ? 'spray again' : found.take,
    film: showingOf(task, paint, aim, found),
    ...withOneMore(paint, { ...aim, ...(found.film ? { film: found.film } : {}) }, found, toleranceOf(task, paint)),
    ...(doubt ? { doubt: { ...doubt, geometry: null } } : {}),
  };
}

const toleranceOf = (task: CorrectionTask, paint: SolidPaint): number =>
  toleranceFor(shopOf(task.book), paint.geometry).limit;

/** The one toner besides that brings it nearest, where the formula's own do not bring it within the tolerance. */
function withOneMore(
  paint: SolidPaint,
  aim: CorrectionTarget,
  { toners, revised }: CorrectionAdvice,
  tolerance: number,
): Pick<Correction, 'withToner'> {
  if (revised.after <= tolerance) return {};
  const { fit } = paint.optics;
  const tried = fit.toners.flatMap(({ kind, uncertain }, toner) => {
    const own = paint.components.some((one) => one.toner === toner);
    if (own || kind === 'binder' || uncertain !== undefined) return [];
    const found = revise(toners, [...paint.components, { toner, share: TRACE }], aim);
    return [{ toner, ...found }];
  });
  if (tried.length === 0) return {};
  const best = tried.reduce((a, b) => (b.after < a.after ? b : a));
  if (best.after > revised.after - WORTH_A_TONER) return {};
  const components = [...paint.components, { toner: best.toner, share: 0 }];
  const shares = withOwnBinder({ ...paint, components }, best.components);
  return { withToner: { toner: fit.toners[best.toner]!.code, shares, after: best.after } };
}

/** How much of the undercoat shows through the card's film, where the card tells film and undercoat. */
function showingOf(
  task: CorrectionTask,
  { components }: SolidPaint,
  { lights, surface }: CorrectionTarget,
  { toners, film }: ShownPaint,
): FilmCounted | undefined {
  const { film: um, under } = task.cards[0]!.sample;
  if (!film || um === undefined || under === undefined) return undefined;
  const labOfFilm = (as: SprayedFilm | undefined) =>
    labUnder(lights[0]!, mixtureReading(toners, components, surface, as));
  return { um, lightness: lightnessOfLuminance(100 * under), shows: deltaE00(labOfFilm(undefined), labOfFilm(film)) };
}

/** How much binder there is does not show in an opaque colour, so the formula keeps its own; the colours keep their ratios. */
function withOwnBinder({ optics, components: before }: SolidPaint, after: readonly Component[]): Map<string, number> {
  const isBinder = (toner: number) => optics.fit.toners[toner]!.kind === 'binder';
  const sumOf = (list: readonly Component[], binder: boolean) =>
    list.filter(({ toner }) => isBinder(toner) === binder).reduce((sum, { share }) => sum + share, 0);
  const [colours, now] = [sumOf(before, false), sumOf(after, false)];
  return new Map(
    after.map(({ toner, share }, i) => {
      const kept = isBinder(toner) || now === 0 ? before[i]!.share : (share * colours) / now;
      return [optics.fit.toners[toner]!.code, kept] as const;
    }),
  );
}

export function correctSolidCup(
  task: CorrectionTask,
  paint: SolidPaint,
  cup: ReadonlyMap<string, number>,
): CupCorrection {
  const { optics, learned } = paint;
  const missing = [...cup.keys()].filter((code) => !optics.index.has(code));
  if (missing.length > 0) throw new RangeError(`no card holds ${missing.join(', ')}, which is in the cup`);
  const cards = cardsOf(task, paint);
  const { toners, film } = cards.length > 0 ? paintAfterCard(optics.fit, cards, learned.cards) : asLearned(paint);
  const aim: CorrectionTarget = { ...aimOf(task, paint), ...(film ? { film } : {}) };
  const codes = new Set([...cup.keys(), ...paint.components.map(({ toner }) => optics.fit.toners[toner]!.code)]);
  const contents = [...codes].map((code) => ({ toner: optics.index.get(code)!, weight: cup.get(code) ?? 0 }));
  const tolerance = toleranceOf(task, paint);
  const gapOf = (shares: ReadonlyMap<string, number>) =>
    predictedGap(
      toners,
      [...shares].map(([code, share]) => ({ toner: optics.index.get(code)!, share })),
      aim,
    );
  const found = addToCup(toners, contents, aim, tolerance);
  return {
    added: new Map(found.additions.map(({ toner, weight }) => [optics.fit.toners[toner]!.code, weight])),
    before: gapOf(cup),
    after: found.after,
    tolerance,
    reaches: found.reaches,
    gapOf,
  };
}

/** Without a card: the toners as they were learned, in the coats that the formula says, if it does. */
function asLearned({ optics, surface, film }: SolidPaint): ShownPaint {
  const sprayed = film && sprayedFilm(optics.fit, { film, surface });
  return { toners: optics.fit.toners, ...(sprayed ? { film: sprayed } : {}) };
}

function cardsOf(task: CorrectionTask, paint: SolidPaint): FitCard[] {
  const { saunderson } = samplesOf(task.book, paint.learned.system, 'solid');
  const cards = task.cards.map(({ sample }) => solidCard(saunderson, paint.optics.index, sample));
  const [first] = cards;
  if (first === undefined) return [];
  // Cards from a cup differ in the last gram; what is corrected is the formula, so they all speak of its own parts.
  return cards.map((card) => ({ ...card, components: paint.components }));
}

/** What the standard looks like: its spectrum, else the smoothest one of its Lab under the main light alone. */
function aimOf(task: CorrectionTask, paint: SolidPaint): CorrectionTarget {
  const { viewings } = shopOf(task.book);
  const lights = viewings.map((viewing) => lightFor(viewingText(viewing), GRID.start, GRID.step, GRID.count));
  const { surface } = paint;
  const angle = angleOf(task, task.standard, paint.geometry);
  const spectrum = angle?.spectrum && onGrid(angle.spectrum);
  if (spectrum) return { lights, surface, standard: Float64Array.from(spectrum) };
  const lab = angle && labOf(angle, viewings[0]!, coloursIn(task.book, task.standard).bandpass);
  if (!lab) throw new RangeError(`the standard was not read at ${paint.geometry} as the card was`);
  return { lights: lights.slice(0, 1), surface, standard: smoothReflectance(lights[0]!, lab) };
}

const angleOf = (task: CorrectionTask, cell: EntryCell, geometry: string): Angle | undefined =>
  angleAt(coloursIn(task.book, cell), geometry);
