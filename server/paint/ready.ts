import { one, type Rational, rational } from '../exact/rational.ts';
import { densityOfMix, type Liquid, massOfMix, volumeOfMix } from './volume.ts';

/**
 * What an added share is a share of. Shops differ on what "10 %" means, so it is always said:
 * of the paint alone, of all that is in the cup before it, or of the whole once it is in.
 */
export type Base = 'paint' | 'mix before' | 'whole';

/** Something that makes a paint ready to spray. */
export interface Component {
  readonly code: string;
  readonly role: 'hardener' | 'reducer' | 'additive';
  /** g/ml. */
  readonly density: Rational;
  /** 1/2 for '2:1', 0.1 for '10 %'. */
  readonly share: Rational;
  readonly of: Base;
  readonly by: 'volume' | 'weight';
}

export interface ReadyLine extends Liquid {
  readonly role: 'paint' | Component['role'];
  readonly millilitres: Rational;
  /** What the scale shows when everything goes into one cup that was not set to zero. */
  readonly running: Rational;
}

export interface ReadyMix {
  readonly lines: readonly ReadyLine[];
  readonly grams: Rational;
  readonly millilitres: Rational;
  readonly density: Rational;
}

/** The paint with its hardener and reducer, in the order given. @throws RangeError for a share that cannot be. */
export function readyToSpray(paint: Liquid, components: readonly Component[]): ReadyMix {
  const inCup: Liquid[] = [paint];
  for (const component of components) inCup.push(addedTo(inCup, paint, component));
  const roles = ['paint', ...components.map(({ role }) => role)] as const;
  const lines = inCup.map((liquid, i) => ({
    ...liquid,
    role: roles[i]!,
    millilitres: liquid.grams.div(liquid.density),
    running: massOfMix(inCup.slice(0, i + 1)),
  }));
  return { lines, grams: massOfMix(inCup), millilitres: volumeOfMix(inCup), density: densityOfMix(inCup) };
}

function addedTo(inCup: readonly Liquid[], paint: Liquid, component: Component): Liquid {
  const { code, density, share, of, by } = component;
  if (share.lt(0) || (of === 'whole' && share.gte(1)))
    throw new RangeError(`${code} cannot be that share of the ${of}`);
  const base = of === 'paint' ? [paint] : inCup;
  const measured = by === 'volume' ? volumeOfMix(base) : massOfMix(base);
  // A share of the whole counts what is added too: x = share (base + x).
  const added = measured.mul(of === 'whole' ? share.div(one.sub(share)) : share);
  return { code, density, grams: by === 'volume' ? added.mul(density) : added };
}

/** Grams of paint that make so many grams ready to spray. Everything grows with the paint, so one division tells. */
export function paintFor(readyGrams: Rational, paintDensity: Rational, components: readonly Component[]): Rational {
  const perGram = readyToSpray({ code: '', grams: one, density: paintDensity }, components).grams;
  return readyGrams.div(perGram);
}

/** A reducer and the booth conditions that it is made for, where it is made for certain ones; ends included. */
export interface Reducer {
  readonly code: string;
  /** Degrees Celsius. */
  readonly temperature?: readonly [Rational, Rational];
  /** Relative humidity, 0..1. */
  readonly humidity?: readonly [Rational, Rational];
}

/** As far as it is known; what is not known rules no reducer out. */
export interface Booth {
  readonly temperature?: Rational;
  readonly humidity?: Rational;
}

/** The reducers that suit the booth, the one whose temperature range lies most squarely around it first, one without a range last. */
export function suitableReducers(reducers: readonly Reducer[], booth: Booth): Reducer[] {
  const suits = reducers.filter(
    ({ temperature, humidity }) => within(booth.temperature, temperature) && within(booth.humidity, humidity),
  );
  const ranged = suits.filter(({ temperature }) => temperature);
  const at = booth.temperature;
  if (!at) return suits;
  return [
    ...ranged.sort((a, b) => offCentre(a.temperature!, at).compare(offCentre(b.temperature!, at))),
    ...suits.filter(({ temperature }) => !temperature),
  ];
}

const offCentre = ([low, high]: readonly [Rational, Rational], at: Rational): Rational =>
  at.mul(2).sub(low).sub(high).abs();

function within(value: Rational | undefined, range: readonly [Rational, Rational] | undefined): boolean {
  return !value || !range || (value.gte(range[0]) && value.lte(range[1]));
}

/**
 * What is wrong with a flow time as a measure of viscosity, or undefined when nothing is.
 * ISO 2431 describes cups of 3, 4, 5 and 6 mm, for flow times of 30 to 100 s at 23 C (from memory). Older cups with a
 * 4 mm hole, still common in shops, run differently: seconds mean nothing without the name of the cup.
 */
export function flowTimeCaution(
  cup: { standard?: string; millimetres: number },
  seconds: Rational,
): string | undefined {
  if (!cup.standard) return 'say which cup: seconds of one cup are not seconds of another, even with the same hole';
  if (!/^ISO ?2431$/i.test(cup.standard)) return undefined;
  if (![3, 4, 5, 6].includes(cup.millimetres)) return 'ISO 2431 has cups of 3, 4, 5 and 6 mm';
  if (seconds.lt(30)) return 'below 30 s the flow is not steady: ISO 2431 asks for the next smaller hole';
  if (seconds.gt(100)) return 'above 100 s ISO 2431 asks for the next larger hole';
  return undefined;
}

const tenDegrees = 10;

/** Data sheets state a pot life at this temperature unless they say otherwise. */
export const standardTemperature = rational(23);

/**
 * The time until which a mix can be sprayed, in milliseconds since the epoch.
 * Warmth shortens the stated pot life, about by half for ten degrees (common practice, no standard); cold never lengthens
 * it here, because a mix that waits in the cold still has to be sprayed warm. The stated value is a laboratory's (ISO 9514).
 */
export function useBy(
  mixedAt: number,
  potLifeSeconds: Rational,
  temperature?: Rational,
  statedAt = standardTemperature,
): number {
  const warmer = temperature ? Math.max(0, temperature.sub(statedAt).valueOf()) : 0;
  return mixedAt + Math.floor(potLifeSeconds.valueOf() * 1000 * 2 ** (-warmer / tenDegrees));
}
