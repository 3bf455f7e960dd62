/** How many coats a formula needs over a grey, and the grey over which it needs fewest. */

import { viewingText } from '../../colour/viewing.ts';
import { tristimulusWeights } from '../../colour/weights.ts';
import { type EffectCoats, effectCoatsToHide, undercoatInside } from '../../paint/effect-hiding.ts';
import { thicknessScale } from '../../paint/fit.ts';
import { bestGrey, type CoatedPaint, coatsToHide, greyReflectance } from '../../paint/hiding.ts';
import { lightFor } from '../../paint/light.ts';
import { mixtureOptics } from '../../paint/mixture.ts';
import { lightnessOfValue, luminanceOfLightness, valueOfLightness } from '../../paint/munsell.ts';
import type { Book } from '../book.ts';
import type { EntryCell } from '../cell.ts';
import { toleranceFor } from '../entries/shop.ts';
import { shopOf } from '../known.ts';
import { recipeIn } from '../recipe.ts';
import { GRID } from './grid.ts';
import { type EffectPaint, type Paint, paintOf, type SolidPaint, type Unpredicted } from './predicted.ts';

/** Coats (broken) until the grey below no longer shows; null: it does not hide in 60 coats. */
export interface GreyCoats {
  readonly lightness: number;
  readonly munsellValue: number;
  readonly coats: number | null;
}

export interface Hiding {
  readonly state: 'ready' | 'recomputing';
  /** dE00 from opaque at which the undercoat counts as hidden. */
  readonly tolerance: number;
  /** Over the undercoat that the formula names. */
  readonly named: GreyCoats | undefined;
  readonly best: GreyCoats | undefined;
  /** No film of known thickness was read, so that coats compare with each other only. */
  readonly relative: boolean;
  /** Of a colour of several coats the ground. */
  readonly coat: string;
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
  const { coatsOver, tolerance, named, relative, coat, state, best } = counted;
  return {
    state,
    tolerance,
    named: named === undefined ? undefined : greyCoats(named, coatsOver(named)),
    best: best(),
    relative,
    coat,
  };
}

/** Coats over each of these greys, for the chart. */
export function coatsTable(book: Book, cell: EntryCell, lightnesses: readonly number[]): GreyCoats[] | Unpredicted {
  const counted = counting(book, cell);
  if ('none' in counted) return counted;
  return lightnesses.map((lightness) => greyCoats(lightness, counted.coatsOver(lightness)));
}

const greyCoats = (lightness: number, coats: number): GreyCoats => ({
  lightness,
  munsellValue: valueOfLightness(lightness),
  coats: Number.isFinite(coats) ? coats : null,
});

/** The grey over which a paint needs fewest coats; undefined when it hides over none. */
export const bestHiding = (book: Book, paint: Paint): GreyCoats | undefined => countingOf(book, paint).best();

interface Counting extends Pick<Hiding, 'state' | 'tolerance' | 'relative' | 'coat'> {
  readonly named: number | undefined;
  readonly coatsOver: (lightness: number) => number;
  readonly best: () => GreyCoats | undefined;
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
  const coatsOver = (lightness: number) => coatsToHide(coated, greyReflectance(lightness, GRID.count), tolerance);
  return {
    state: paint.state,
    tolerance,
    relative: paint.optics.fit.scale === undefined,
    coat: 'top',
    named: paint.undercoat,
    coatsOver,
    best: () => {
      const found = bestGrey(coated, tolerance);
      return found && onHalfSteps(found.value, coatsOver);
    },
  };
}

function countEffect(book: Book, paint: EffectPaint): Counting {
  const ground = paint.coats[0]!;
  const { illuminant, observer } = shopOf(book).viewings[0]!;
  const coated: EffectCoats = {
    model: paint.optics.model,
    film: ground,
    coat: paint.learned.coat / paint.learned.film,
    weights: tristimulusWeights(illuminant, observer, GRID.start, GRID.step, GRID.count),
  };
  const tolerance = toleranceFor(shopOf(book), '45as45').limit;
  const coatsOver = (lightness: number) => {
    const under = new Float64Array(GRID.count).fill(undercoatInside(luminanceOfLightness(lightness) / 100));
    return effectCoatsToHide(coated, under, tolerance);
  };
  return {
    state: paint.state,
    tolerance,
    relative: false,
    coat: ground.name,
    named: paint.undercoat,
    coatsOver,
    best: () => onHalfSteps(undefined, coatsOver),
  };
}

const DARKEST = 2;
const LIGHTEST = 9.5;
const HALF = 0.5;
/** First look at the valley of coats against grey; it has one foot, so that from the lowest of these one walks downhill. */
const FIRST_LOOK = [2, 4, 6, 8, 9.5] as const;

/** The best of Munsell's half steps, which can be mixed and named, near a value that is known to be best or from a first look. */
function onHalfSteps(near: number | undefined, coatsOver: (lightness: number) => number): GreyCoats | undefined {
  const counted = new Map<number, number>();
  const at = (value: number): number => {
    const known = counted.get(value) ?? coatsOver(lightnessOfValue(value));
    counted.set(value, known);
    return known;
  };
  const start =
    near === undefined
      ? FIRST_LOOK.reduce((best: number, value) => (at(value) < at(best) ? value : best), FIRST_LOOK[0])
      : Math.min(Math.max(Math.round(near / HALF) * HALF, DARKEST), LIGHTEST);
  let best = start;
  for (const direction of [-HALF, HALF]) {
    for (let value = start + direction; value >= DARKEST && value <= LIGHTEST; value += direction) {
      const step = at(value);
      if (step < at(best)) best = value;
      else if (Math.abs(value - best) > 1) break;
    }
  }
  return Number.isFinite(at(best)) ? greyCoats(lightnessOfValue(best), at(best)) : undefined;
}
