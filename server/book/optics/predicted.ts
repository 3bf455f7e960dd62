/** The colour that a formula is expected to have, with its ±, from what the cards tell of its toners. */
import type { Lab } from '../../colour/lab.ts';
import { type Viewing, viewingText } from '../../colour/viewing.ts';
import { tristimulusWeights } from '../../colour/weights.ts';
import { type CoatedFilm, coatedReflectance } from '../../paint/effect-coats.ts';
import { labsOfAngles } from '../../paint/effect-colour.ts';
import { effectGeometryNamed } from '../../paint/effect-geometry.ts';
import type { EffectFilm } from '../../paint/effect-model.ts';
import { effectPlusMinus, type FormulaKind, formulaKind, WITHOUT_PANEL } from '../../paint/effect-uncertainty.ts';
import { readBy } from '../../paint/fit.ts';
import type { CardFilm } from '../../paint/fit-model.ts';
import { labUnder, lightFor } from '../../paint/light.ts';
import type { Component } from '../../paint/mixture.ts';
import { predict, predictedReadings } from '../../paint/predict.ts';
import { defaultSurface, type Surface } from '../../paint/surface.ts';
import { coloursBelow } from '../below.ts';
import type { Book } from '../book.ts';
import type { EntryCell } from '../cell.ts';
import { coloursIn } from '../colours.ts';
import { shopOf, tonerNamed } from '../known.ts';
import { type Recipe, type RecipeCoat, recipeIn, withoutParent } from '../recipe.ts';
import { hasFlakes, type Shares, sharesOf } from './amounts.ts';
import { type Below, greyBelow, insideOf, readWith } from './below.ts';
import { GRID } from './grid.ts';
import { effectKind } from './kinds.ts';
import type { Learned } from './learn.ts';
import { type EffectOptics, effectOptics, opticsOf, type SolidOptics, solidOptics } from './optics.ts';
import type { Side } from './samples.ts';

export interface PredictedColour {
  readonly geometry: string;
  readonly viewing: Viewing;
  readonly lab: Lab;
  /** dE00 that 90 % of cards of this formula fall within. */
  readonly plusMinus: number;
}

export interface Prediction {
  readonly side: Side;
  /** recomputing: a card has changed since the toners were learned. */
  readonly state: 'ready' | 'recomputing';
  readonly colours: readonly PredictedColour[];
  /** Toners in it that the book knows too little of. */
  readonly uncertain: readonly string[];
  /** What the figures hold for. */
  readonly basis: string;
}

/** Nothing can be predicted, and why. */
export interface Unpredicted {
  readonly none: string;
}

export const isPredicted = <T extends object>(one: T | Unpredicted): one is T => !('none' in one);

export function predictedIn(book: Book, cell: EntryCell): Prediction | Unpredicted {
  return book
    .fact<Prediction | Unpredicted>(
      'predicted',
      cell,
      () => predictionOf(book, recipeIn(book, cell)),
      () => ({ none: 'the formula derives from itself' }),
    )
    .get();
}

/** Of any parts: what is in a cup is a recipe that no entry holds. */
export function predictionOf(book: Book, recipe: Recipe): Prediction | Unpredicted {
  const paint = paintOf(book, recipe);
  if ('none' in paint) return paint;
  return paint.side === 'solid' ? solidPrediction(book, paint) : effectPrediction(book, paint);
}

/** The toners of a formula as a fit knows them, coat by coat from the ground up. */
export type Paint = SolidPaint | EffectPaint;

interface Known {
  readonly learned: Learned;
  readonly state: 'ready' | 'recomputing';
  /** The undercoat that the formula names; undefined where it names none, or one of which no colour is known. */
  readonly undercoat: Below | undefined;
}

export interface SolidPaint extends Known {
  readonly side: 'solid';
  readonly optics: SolidOptics;
  readonly components: readonly Component[];
  readonly geometry: string;
  readonly surface: Surface;
  /** The coats that the formula says, over its undercoat; absent: it is sprayed until it hides. */
  readonly film?: CoatsOver;
}

export interface CoatsOver extends CardFilm {
  readonly words: string;
}

export interface EffectCoat {
  readonly toners: EffectFilm['toners'];
  readonly shares: readonly number[];
  readonly codes: readonly string[];
  readonly name: RecipeCoat['name'];
  /** Times that it is sprayed, where the formula says it. */
  readonly times: number | undefined;
}

export interface EffectPaint extends Known {
  readonly side: 'effect';
  readonly optics: EffectOptics;
  /** The last is the one that is seen. */
  readonly coats: readonly EffectCoat[];
  /** Dry film of one mid coat, um; absent: as coats usually are. */
  readonly midCoat?: number;
  /** Whether a step panel of the formula itself told it. */
  readonly ownPanel?: boolean;
}

/** The paint of a formula; of two fits that know its toners the one that its standard was read for, else the solid one. */
export function paintOf(book: Book, recipe: Recipe): Paint | Unpredicted {
  if (recipe.missingParent !== undefined) return { none: withoutParent(recipe.missingParent) };
  if (recipe.coats.length === 0) return { none: 'the formula has no toners' };
  const mixed = recipe.coats.map((coat) => sharesOf(book, coat.toners));
  const problem = mixed.find((one) => typeof one === 'string');
  if (problem !== undefined) return { none: problem as string };
  if (mixed.length === 1 && isClear(book, mixed[0] as Shares))
    return { none: 'it is clear, so it neither hides nor colours: what it is sprayed over stays to be seen' };
  return paintWith(book, recipe, mixed as Shares[], sidesFor(book, recipe, mixed as Shares[]));
}

/** Nothing in it gives colour. Its K and S are no more than what is assumed of binders, for opaque cards do not tell them. */
const isClear = (book: Book, { shares }: Shares): boolean =>
  [...shares].every(([code, share]) => share === 0 || effectKind(tonerNamed(book, code)?.kind) === 'clear');

function sidesFor(book: Book, recipe: Recipe, mixed: readonly Shares[]): readonly Side[] {
  if (mixed.length > 1 || mixed.some(({ shares }) => hasFlakes(book, shares.keys()))) return ['effect'];
  return angledStandard(book, recipe) ? ['effect', 'solid'] : ['solid', 'effect'];
}

function standardGeometries(book: Book, recipe: Recipe): string[] {
  const standard = recipe.standard && book.find('reading', recipe.standard.is);
  return standard ? coloursIn(book, standard).angles.map((angle) => angle.geometry) : [];
}

const angledStandard = (book: Book, recipe: Recipe): boolean =>
  standardGeometries(book, recipe).some((geometry) => geometry.includes('as'));

function paintWith(book: Book, recipe: Recipe, mixed: readonly Shares[], sides: readonly Side[]): Paint | Unpredicted {
  const reasons: string[] = [];
  const undercoat = belowOf(book, recipe);
  for (const side of sides) {
    const { state, learned } = opticsOf(book, mixed[0]!.system, side);
    if (state === 'none') reasons.push(`no card tells of ${side} colours in its system`);
    else if (!learned) reasons.push('the toners are being learned');
    else {
      const known = { learned, state, undercoat };
      const paint = side === 'solid' ? solidPaint(book, recipe, mixed, known) : effectPaint(recipe, mixed, known);
      if (!('none' in paint)) return paint;
      reasons.push(paint.none);
    }
  }
  return { none: reasons[0]! };
}

const unseen = (codes: readonly string[]): Unpredicted => ({
  none: `no card holds ${codes.join(', ')}: draw one down to learn it`,
});

function solidPaint(book: Book, recipe: Recipe, mixed: readonly Shares[], known: Known): SolidPaint | Unpredicted {
  const optics = solidOptics(known.learned);
  if (!optics) return { none: 'the recorded fit cannot be read: write it again' };
  const { shares } = mixed.at(-1)!;
  const missing = [...shares.keys()].filter((code) => !optics.index.has(code));
  if (missing.length > 0) return unseen(missing);
  const geometry = standardGeometries(book, recipe).find((one) => !one.includes('as')) ?? '45/0';
  const { k1, k2, specular } = shopOf(book).saunderson;
  const seen = geometry.startsWith('d') ? specular : defaultSurface.specular;
  const surface = readBy(optics.fit, { k1, k2, specular: seen });
  const undercoat = known.undercoat && { ...known.undercoat, reading: readWith(known.undercoat, surface) };
  const film = coatsOver(recipe, { ...known, undercoat });
  return {
    side: 'solid',
    ...known,
    undercoat,
    ...(film ? { film } : {}),
    optics,
    components: [...shares].map(([code, share]) => ({ toner: optics.index.get(code)!, share })),
    geometry,
    surface,
  };
}

/** The film of a colour that says how often it is sprayed. */
function coatsOver(recipe: Recipe, { learned, undercoat }: Known): CoatsOver | undefined {
  const { coats } = recipe.coats.at(-1)!;
  if (!coats || !undercoat) return undefined;
  const words = `in ${coats} ${coats === 1 ? 'coat' : 'coats'} over ${undercoat.words}`;
  return { thickness: coats * learned.coat, under: undercoat.reading, words };
}

/** What a formula goes on, as an instrument would read it; undefined where that is not told or not known. */
export function belowOf(book: Book, recipe: Recipe): Below | undefined {
  const named = recipe.undercoat?.is;
  if (!named?.coloured) return greyBelow(named?.grey);
  return coloursBelow(book, recipe).ring ? undefined : colouredBelow(book, named.id);
}

/** A formula as a coloured undercoat; undefined where it is not there or nothing is known of its colour. */
export function colouredBelow(book: Book, id: string): Below | undefined {
  const cell = book.find('formula', id);
  if (!cell) return undefined;
  return book
    .fact<Below | undefined>(
      'as undercoat',
      cell,
      () => asUndercoat(book, cell),
      () => undefined,
    )
    .get();
}

/** A formula as it lies below another: a solid one hides; an effect one is taken as it reads at 45as45, from where it lights the film most evenly. */
function asUndercoat(book: Book, cell: EntryCell): Below | undefined {
  const recipe = recipeIn(book, cell);
  const paint = paintOf(book, recipe);
  if ('none' in paint) return undefined;
  const reading = paint.side === 'solid' ? opaqueReading(paint) : readAt45(paint);
  const main = lightFor(viewingText(shopOf(book).viewings[0]!), GRID.start, GRID.step, GRID.count);
  return { words: `formula ${recipe.id}`, lightness: labUnder(main, reading)[0], reading, formula: recipe.id };
}

const opaqueReading = ({ optics, components, surface }: SolidPaint): Float64Array =>
  predictedReadings(optics.fit, { components, surface: { ...surface, specular: 'excluded' } }).reflectance;

function readAt45(paint: EffectPaint): Float64Array {
  const model = { ...paint.optics.model, geometries: [effectGeometryNamed('45as45')!] };
  return coatedReflectance(model, filmIn(paint));
}

function effectPaint(recipe: Recipe, mixed: readonly Shares[], known: Known): EffectPaint | Unpredicted {
  const optics = effectOptics(known.learned);
  if (!optics) return { none: 'the recorded fit cannot be read: write it again' };
  const missing = mixed.flatMap(({ shares }) => [...shares.keys()].filter((code) => !optics.toners.has(code)));
  if (missing.length > 0) return unseen([...new Set(missing)]);
  const coats = recipe.coats.map((coat, n): EffectCoat => {
    const { shares } = mixed[n]!;
    const codes = [...shares.keys()];
    const toners = codes.map((code) => optics.toners.get(code)!);
    return { name: coat.name, times: coat.coats, codes, toners, shares: [...shares.values()] };
  });
  return { side: 'effect', ...known, optics, coats, ...midCoatOf(recipe, known.learned) };
}

function solidPrediction(book: Book, paint: SolidPaint): Prediction | Unpredicted {
  const { optics, components, surface, geometry, state, film } = paint;
  const { viewings } = shopOf(book);
  const lights = viewings.map((viewing) => lightFor(viewingText(viewing), GRID.start, GRID.step, GRID.count));
  const found = predict(optics.fit, { components, surface, ...(film ? { film } : {}) }, lights, optics.model);
  return {
    side: 'solid',
    state,
    colours: found.colours.map(({ lab, plusMinus }, n) => ({
      geometry,
      viewing: viewings[n]!,
      lab,
      plusMinus: plusMinus.dE00,
    })),
    uncertain: found.uncertain,
    basis: film ? `${film.words}${found.relativeFilm ? ' (how thick a coat is, is a guess)' : ''}` : 'when it hides',
  };
}

/** All coats of a paint as one film that is seen from above. */
export function filmIn(paint: EffectPaint, thickness = thicknessOf(paint, paint.coats.at(-1)!)): CoatedFilm {
  const below = paint.coats.slice(0, -1).reverse();
  return {
    ...paint.coats.at(-1)!,
    thickness,
    undercoat: insideOf(paint.undercoat),
    below: below.map((coat) => ({ ...coat, thickness: thicknessOf(paint, coat) })),
  };
}

/** In units of the fit: a mid coat as often as the formula says, any other coat as thick as the cards usually are. */
export function thicknessOf({ learned, midCoat }: EffectPaint, coat: EffectCoat, times = coat.times): number {
  return coat.name === 'mid' && times !== undefined ? (times * (midCoat ?? learned.coat)) / learned.film : 1;
}

/** As the formula's own step panels told it, else those of other formulas, else as coats usually are. */
function midCoatOf(
  { lineage }: Recipe,
  { mids = [], coat }: Learned,
): Required<Pick<EffectPaint, 'midCoat' | 'ownPanel'>> {
  const own = lineage.map((id) => mids.filter(({ formula }) => formula === id)).find((panels) => panels.length > 0);
  const films = (own ?? mids).map(({ film }) => film).sort((a, b) => a - b);
  return { midCoat: films[films.length >> 1] ?? coat, ownPanel: own !== undefined };
}

function effectPrediction(book: Book, paint: EffectPaint): Prediction {
  const top = paint.coats.at(-1)!;
  return {
    side: 'effect',
    state: paint.state,
    colours: effectColours(book, paint, thicknessOf(paint, top)),
    uncertain: uncertainIn(paint),
    basis: basisOf(paint, top),
  };
}

function basisOf(paint: EffectPaint, top: EffectCoat): string {
  if (paint.coats.length > 1) {
    const panel = paint.ownPanel ? '' : ', no step panel of it was learned from';
    const coats = `with ${top.times} ${top.name} ${top.times === 1 ? 'coat' : 'coats'}`;
    return `${top.times === undefined ? 'at the usual film over its ground' : coats}${panel}`;
  }
  return `at ${Math.round(paint.learned.film)} um${paint.undercoat ? ` over ${paint.undercoat.words}` : ''}`;
}

/** Colours of the coat that is seen at a thickness, per angle of the fit and light of the book. */
export function effectColours(book: Book, paint: EffectPaint, thickness: number): PredictedColour[] {
  const { model } = paint.optics;
  const reflectance = coatedReflectance(model, filmIn(paint, thickness));
  const plusMinus = plusMinusAt(paint);
  return shopOf(book).viewings.flatMap((viewing) => {
    const weights = tristimulusWeights(viewing.illuminant, viewing.observer, GRID.start, GRID.step, GRID.count);
    return labsOfAngles(reflectance, weights).map((lab, a) => {
      const { name: geometry } = model.geometries[a]!;
      return { geometry, viewing, lab, plusMinus: plusMinus(geometry) };
    });
  });
}

/** Of coats over a ground as their step panels were predicted, and without one of their own no better than any. */
function plusMinusAt({ coats, optics, ownPanel }: EffectPaint): (geometry: string) => number {
  const top = coats.at(-1)!;
  const of = (geometry: string, kind: FormulaKind) => effectPlusMinus(optics.errors, geometry, kind);
  if (coats.length === 1) {
    const kind = formulaKind(top.toners, top.shares);
    return (geometry) => of(geometry, kind) ?? 0;
  }
  return (geometry) => Math.max(of(geometry, 'coats') ?? WITHOUT_PANEL, ownPanel ? 0 : WITHOUT_PANEL);
}

/** Toners that are in the paint, of all its coats. */
export const tonersIn = (paint: Paint): string[] =>
  paint.side === 'solid'
    ? paint.components.map(({ toner }) => paint.optics.fit.toners[toner]!.code)
    : paint.coats.flatMap((coat) => coat.codes);

export const uncertainIn = (paint: Paint): string[] => uncertainOf(paint.learned, tonersIn(paint));

/** Which of these toners too few cards tell of. */
export function uncertainOf({ toners }: Learned, codes: Iterable<string>): string[] {
  const asked = new Set(codes);
  return toners.filter(({ code, uncertain }) => uncertain !== null && asked.has(code)).map(({ code }) => code);
}
