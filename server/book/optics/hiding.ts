/** How many coats a formula needs over a grey, and the grey over which it needs fewest. */

import { viewingText } from '../../colour/viewing.ts';
import { tristimulusWeights } from '../../colour/weights.ts';
import { effectCoatsOverAny } from '../../paint/effect-any-grey.ts';
import type { EffectGeometry } from '../../paint/effect-geometry.ts';
import { type EffectCoats, effectCoatsToHide, showingThrough, undercoatInside } from '../../paint/effect-hiding.ts';
import { thicknessScale } from '../../paint/fit.ts';
import {
  type CoatedPaint,
  coatsBlackAgainstWhite,
  coatsReading,
  coatsToHide,
  contrastRatio,
  opaqueReading,
} from '../../paint/hiding.ts';
import { deltaE00, labUnder, lightFor } from '../../paint/light.ts';
import { mixtureOptics } from '../../paint/mixture.ts';
import { lightnessOfValue, valueOfLightness } from '../../paint/munsell.ts';
import type { Book } from '../book.ts';
import type { EntryCell } from '../cell.ts';
import { toleranceFor } from '../entries/shop.ts';
import { Input, untracked } from '../facts.ts';
import { shopOf } from '../known.ts';
import { recipeIn } from '../recipe.ts';
import { type Below, flatReading, readWith } from './below.ts';
import { GRID } from './grid.ts';
import { type EffectPaint, type Paint, paintOf, type SolidPaint, type Unpredicted } from './predicted.ts';

/** Coats (broken) until the grey below no longer shows; null: it does not hide in 60 coats. */
export interface GreyCoats {
  readonly lightness: number;
  readonly munsellValue: number;
  readonly coats: number | null;
}

/** Over what the formula names. */
export interface CoatsOverNamed extends GreyCoats {
  /** `N5`, or `formula PNK-1`, of which the other figures say how light it is. */
  readonly words: string;
  /** Id of the formula of a coloured undercoat. */
  readonly formula: string | undefined;
}

export interface Hiding {
  readonly state: 'ready' | 'recomputing';
  /** dE00 from opaque at which the undercoat counts as hidden. */
  readonly tolerance: number;
  /** Over the undercoat that the formula names. */
  readonly named: CoatsOverNamed | undefined;
  readonly best: GreyCoats | undefined;
  /** No film of known thickness was read, so that coats compare with each other only. */
  readonly relative: boolean;
  /** Of a colour of several coats the ground. */
  readonly coat: string;
  /** Dry film of one coat, um, as the cards were sprayed. */
  readonly film: number;
}

export function hidingIn(book: Book, cell: EntryCell): Hiding | Unpredicted {
  return book
    .fact<Hiding | Unpredicted>(
      'hiding',
      cell,
      () => compute(book, cell),
      () => ({ none: 'the formula derives from itself' }),
    )
    .get();
}

function compute(book: Book, cell: EntryCell): Hiding | Unpredicted {
  const counted = counting(book, cell);
  if ('none' in counted) return counted;
  const { coatsOver, tolerance, named, relative, coat, film, state, best } = counted;
  return {
    state,
    tolerance,
    named: named && {
      ...greyCoats(named.lightness, coatsOver(named.reading)),
      words: named.words,
      formula: named.formula,
    },
    best: best(),
    relative,
    coat,
    film,
  };
}

/** Coats over each of these greys, for the chart. */
export function coatsTable(book: Book, cell: EntryCell, lightnesses: readonly number[]): GreyCoats[] | Unpredicted {
  const counted = counting(book, cell);
  if ('none' in counted) return counted;
  return lightnesses.map((lightness) => greyCoats(lightness, counted.coatsOver(flatReading(lightness))));
}

const greyCoats = (lightness: number, coats: number): GreyCoats => ({
  lightness,
  munsellValue: valueOfLightness(lightness),
  coats: Number.isFinite(coats) ? coats : null,
});

/** How a formula hides whatever is below. */
export interface HidingAnywhere {
  /** Coats from which on films over black and over white look alike; null: not in 60. */
  readonly coats: number | null;
  /** Luminance of one coat over black by that over white; undefined where it says nothing. */
  readonly contrast: number | undefined;
}

/** Worked out when it is asked for: no check reads it. */
export function hidingAnywhere(book: Book, cell: EntryCell): HidingAnywhere | Unpredicted {
  const counted = counting(book, cell);
  if ('none' in counted) return counted;
  const coats = counted.overAny();
  return { coats: Number.isFinite(coats) ? coats : null, contrast: counted.relative ? undefined : counted.contrast() };
}

/** The grey over which a paint needs fewest coats; undefined when it hides over none. */
export const bestHiding = (book: Book, paint: Paint): GreyCoats | undefined => countingOf(book, paint).best();

/** Coats of a paint over an undercoat; null: it does not hide it in 60. */
export function coatsOver(book: Book, paint: Paint, below: Below): number | null {
  const reading = paint.side === 'solid' ? readWith(below, paint.surface) : below.reading;
  const coats = countingOf(book, paint).coatsOver(reading);
  return Number.isFinite(coats) ? coats : null;
}

interface Counting extends Pick<Hiding, 'state' | 'tolerance' | 'relative' | 'coat' | 'film'> {
  readonly named: Below | undefined;
  /** Over an undercoat of this reading. */
  readonly coatsOver: (under: Float64Array) => number;
  /** Whether it shows through so many coats. */
  readonly showsAt: (under: Float64Array, coats: number) => boolean;
  readonly best: () => GreyCoats | undefined;
  /** Until films over black and white look alike. */
  readonly overAny: () => number;
  /** Of one coat; undefined where it says nothing, as of a dark colour. */
  readonly contrast: () => number | undefined;
}

function counting(book: Book, cell: EntryCell): Counting | Unpredicted {
  const paint = paintOf(book, recipeIn(book, cell));
  return 'none' in paint ? paint : countingOf(book, paint);
}

const countingOf = (book: Book, paint: Paint): Counting =>
  paint.side === 'solid' ? countSolid(book, paint) : countEffect(book, paint);

/** The paint in coats as the cards were sprayed; K and S per coat. */
export function coatedPaint(book: Book, { optics, components, surface, learned }: SolidPaint): CoatedPaint {
  const { K, S } = mixtureOptics(optics.fit.toners, components);
  const perCoat = (values: Float64Array) =>
    values.map((value, w) => value * thicknessScale(optics.fit, w) * learned.coat);
  const light = lightFor(viewingText(shopOf(book).viewings[0]!), GRID.start, GRID.step, GRID.count);
  return { coat: { K: perCoat(K), S: perCoat(S) }, surface, light };
}

function countSolid(book: Book, paint: SolidPaint): Counting {
  const coated = coatedPaint(book, paint);
  const tolerance = toleranceFor(shopOf(book), paint.geometry).limit;
  const coatsOver = (under: Float64Array) => coatsToHide(coated, under, tolerance);
  const opaque = labUnder(coated.light, opaqueReading(coated));
  const showsAt = (under: Float64Array, coats: number) =>
    deltaE00(opaque, labUnder(coated.light, coatsReading(coated, coats, under))) > tolerance;
  return {
    state: paint.state,
    tolerance,
    relative: paint.optics.fit.scale === undefined,
    coat: 'top',
    film: paint.learned.coat,
    named: paint.undercoat,
    coatsOver,
    showsAt,
    best: () => onHalfSteps({ coatsOver, showsAt }),
    overAny: () => coatsBlackAgainstWhite(coated, tolerance),
    contrast: () => contrastRatio(coated, 1),
  };
}

/** Nearest to the gloss, at 45, and furthest from it: where an undercoat shows first is one of these. */
function facesOf(geometries: readonly EffectGeometry[]): EffectGeometry[] {
  const near = (aspecular: number) =>
    geometries.reduce((a, b) => (Math.abs(b.aspecular - aspecular) < Math.abs(a.aspecular - aspecular) ? b : a));
  return [...new Set([near(15), near(45), near(180)])];
}

function countEffect(book: Book, paint: EffectPaint): Counting {
  const ground = paint.coats[0]!;
  const { illuminant, observer } = shopOf(book).viewings[0]!;
  const coated: EffectCoats = {
    model: { ...paint.optics.model, geometries: facesOf(paint.optics.model.geometries) },
    film: ground,
    coat: paint.learned.coat / paint.learned.film,
    weights: tristimulusWeights(illuminant, observer, GRID.start, GRID.step, GRID.count),
  };
  const tolerance = toleranceFor(shopOf(book), '45as45').limit;
  const coatsOver = (under: Float64Array) => effectCoatsToHide(coated, under.map(undercoatInside), tolerance);
  const showsAt = (under: Float64Array, coats: number) =>
    showingThrough(coated, under.map(undercoatInside), [coats])[0]!.dE00 > tolerance;
  return {
    state: paint.state,
    tolerance,
    relative: false,
    coat: ground.name,
    film: paint.learned.coat,
    named: paint.undercoat,
    coatsOver,
    showsAt,
    best: () => onHalfSteps({ coatsOver, showsAt }),
    overAny: () => effectCoatsOverAny(coated, tolerance),
    // The ratio is of one reading at 45/0: a flake paint has no such luminance.
    contrast: () => undefined,
  };
}

const DARKEST = 2;
const LIGHTEST = 9.5;
const HALF = 0.5;
/** First look at the valley of coats against grey; it has one foot, so that from the lowest of these one walks downhill. */
const FIRST_LOOK = [5, 3, 7, 9.5, 2] as const;

/**
 * The best of Munsell's half steps, which can be mixed and named. A grey that still shows through at the coats of the best so
 * far cannot be better, and that is one film instead of a whole search.
 */
function onHalfSteps({ coatsOver, showsAt }: Pick<Counting, 'coatsOver' | 'showsAt'>): GreyCoats | undefined {
  let best: number | undefined;
  let fewest = Number.POSITIVE_INFINITY;
  const better = (value: number): boolean => {
    const grey = flatReading(lightnessOfValue(value));
    if (Number.isFinite(fewest) && showsAt(grey, fewest)) return false;
    const coats = coatsOver(grey);
    if (!(coats < fewest)) return false;
    best = value;
    fewest = coats;
    return true;
  };
  for (const value of FIRST_LOOK) better(value);
  // a very clear paint hides near one grey only, in whatever many coats
  for (let value = DARKEST; best === undefined && value <= LIGHTEST; value += HALF) better(value);
  const start = best;
  if (start === undefined) return undefined;
  for (const direction of [-HALF, HALF]) {
    let missed = 0;
    for (let value = start + direction; value >= DARKEST && value <= LIGHTEST && missed < 2; value += direction)
      missed = better(value) ? 0 : missed + 1;
  }
  return greyCoats(lightnessOfValue(best!), fewest);
}

/**
 * What the checks know of hiding: as it was last worked out. It takes some tens of milliseconds for a formula, which no
 * keystroke may wait for, so that the editor works it out when nothing else is to do, and the command line before it checks.
 */
const settled = new WeakMap<EntryCell, Input<Hiding | undefined>>();

function settledInput(cell: EntryCell): Input<Hiding | undefined> {
  let input = settled.get(cell);
  if (!input) {
    input = new Input<Hiding | undefined>(undefined, (a, b) => JSON.stringify(a) === JSON.stringify(b));
    settled.set(cell, input);
  }
  return input;
}

export const settledHiding = (cell: EntryCell): Hiding | undefined => settledInput(cell).get();

/** Works out what the checks read of one formula; returns whether it became another. */
export function settleHiding(book: Book, cell: EntryCell): boolean {
  const input = settledInput(cell);
  const before = input.peek();
  const found = untracked(() => hidingIn(book, cell));
  input.set('none' in found ? undefined : found);
  return input.peek() !== before;
}

/** Formulas whose hiding the checks may ask for. */
export const hidingCells = (book: Book): EntryCell[] =>
  untracked(() => [...book.ofKind('formula'), ...book.ofKind('variant')]);
