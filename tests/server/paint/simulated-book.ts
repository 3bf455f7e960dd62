/**
 * Books of toners and cards whose truth is known. Toners are blends of the 19 measured acrylics, strengthened, tilted
 * over wavelength and made transparent at random; cards carry the noise of a bench. It shares no code with the fit.
 */
import type { FitCard } from '../../../server/paint/fit-model.ts';
import type { Component, TonerKind, TonerOptics } from '../../../server/paint/mixture.ts';
import { acrylics, count, indexOf, surface } from '../../published/acrylics-data.ts';

/** A seeded source of uniform and normal numbers (mulberry32, Box-Muller). */
export class Random {
  private state: number;
  constructor(seed: number) {
    this.state = seed >>> 0;
  }

  uniform(): number {
    this.state = (this.state + 0x6d2b79f5) >>> 0;
    let t = this.state;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 2 ** 32;
  }

  normal(): number {
    return Math.sqrt(-2 * Math.log(1 - this.uniform())) * Math.cos(2 * Math.PI * this.uniform());
  }

  below(n: number): number {
    return Math.floor(this.uniform() * n);
  }
}

const place = (w: number): number => (w - (count - 1) / 2) / ((count - 1) / 2);

function wobble(random: Random, size: number): Float64Array {
  const [level, tilt, wave] = [random.normal(), random.normal() / 2, 0.3 * random.normal()];
  return Float64Array.from({ length: count }, (_, w) =>
    Math.exp(size * (level + tilt * place(w) + wave * Math.sin(3 * place(w)))),
  );
}

/** Toner 0 is white, 1 black, 2 the binder, the others colours. */
export function simulatedToners(random: Random, size: number): TonerOptics[] {
  const white = acrylics[indexOf('TitaniumWhite')]!;
  const black = acrylics[indexOf('BoneBlack')]!;
  const colours = acrylics.filter(({ code }) => !['TitaniumWhite', 'BoneBlack', 'clear'].includes(code));
  const varied = (values: Float64Array, by: number, factor = 1): Float64Array => {
    const shape = wobble(random, by);
    return values.map((value, w) => value * shape[w]! * factor);
  };
  const toners: TonerOptics[] = [
    { code: 'T0', kind: 'white', K: varied(white.K, 0.15), S: white.S },
    { code: 'T1', kind: 'black', K: varied(black.K, 0.15, 1 + 3 * random.uniform()), S: varied(black.S, 0.3) },
    { code: 'T2', kind: 'binder', K: new Float64Array(count).fill(3e-4), S: new Float64Array(count).fill(1e-4) },
  ];
  for (let i = 3; i < size; i++) {
    const own = colours[(i * 7 + random.below(3)) % colours.length]!;
    const other = colours[random.below(colours.length)]!;
    const mix = [0, 0.15, 0.3][random.below(3)]!;
    const strength = Math.exp(random.normal() / 2);
    const transparent = random.uniform() < 0.45;
    const blend = (a: Float64Array, b: Float64Array): Float64Array =>
      a.map((value, w) => value ** (1 - mix) * b[w]! ** mix);
    toners.push({
      code: `T${i}`,
      kind: transparent ? 'transparent' : 'opaque',
      K: varied(blend(own.K, other.K), 0.12, strength),
      S: varied(blend(own.S, other.S), 0.2, strength * (transparent ? 0.1 + 0.3 * random.uniform() : 1)),
    });
  }
  return toners;
}

/** A formula of three to eight toners, often with white, black and binder. */
export function simulatedFormula(random: Random, toners: readonly TonerOptics[]): Component[] {
  const used = new Set<number>();
  if (random.uniform() < 0.7) used.add(0);
  if (random.uniform() < 0.6) used.add(1);
  if (random.uniform() < 0.6) used.add(2);
  const wanted = Math.min(3 + random.below(6), used.size + toners.length - 3);
  do used.add(3 + random.below(toners.length - 3));
  while (used.size < wanted);
  const factor: Readonly<Partial<Record<TonerKind, number>>> = { white: 2, black: 0.4 };
  const coloured = [...used].filter((toner) => toner !== 2);
  const weights = coloured.map((toner) => Math.exp(1.2 * random.normal()) * (factor[toners[toner]!.kind] ?? 1));
  const binder = used.has(2) ? 0.15 + 0.45 * random.uniform() : 0;
  const total = weights.reduce((sum, weight) => sum + weight, 0);
  const parts = coloured.map((toner, i): Component => ({ toner, share: ((1 - binder) * weights[i]!) / total }));
  return binder > 0 ? [...parts, { toner: 2, share: binder }] : parts;
}

/** How paint departs from what the fit takes for true. */
export interface Departure {
  /** Scatter of a toner's strength from card to card, relative. */
  readonly strength: number;
  /** What the surface really throws back of the light inside. */
  readonly k2: number;
}

/** What a spectrophotometer reads of an opaque card of this formula; exact without a source of noise. */
export function reading(
  toners: readonly TonerOptics[],
  formula: readonly Component[],
  noise?: Random,
  departure?: Departure,
): Float64Array {
  const k2 = departure?.k2 ?? surface.k2;
  const strength = (): number => (noise && departure ? Math.exp(departure.strength * noise.normal()) : 1);
  const poured = formula.map(({ toner, share }) => ({
    toner,
    share: Math.max(share * strength() + (noise === undefined ? 0 : 0.0005 * noise.normal()), 0),
  }));
  const spray = noise === undefined ? [0, 0] : [0.02 * noise.normal(), 0.01 * noise.normal()];
  const offset = noise === undefined ? 0 : 0.0003 * noise.normal();
  return Float64Array.from({ length: count }, (_, w) => {
    let k = 0;
    let s = 0;
    for (const { toner, share } of poured) {
      k += share * toners[toner]!.K[w]!;
      s += share * toners[toner]!.S[w]!;
    }
    const theta = (k / s) * Math.exp(spray[0]! + spray[1]! * place(w));
    const internal = 1 + theta - Math.sqrt(theta * theta + 2 * theta);
    const exact = ((1 - surface.k1) * (1 - k2) * internal) / (1 - k2 * internal);
    if (noise === undefined) return exact;
    return Math.max(exact * (1 + 0.001 * noise.normal()) + 0.0005 * noise.normal() + offset, 0.0005);
  });
}

/** So many noisy cards of a book. */
export function simulatedCards(
  random: Random,
  toners: readonly TonerOptics[],
  cards: number,
  departure?: Departure,
): FitCard[] {
  return Array.from({ length: cards }, () => {
    const components = simulatedFormula(random, toners);
    return { components, surface, reflectance: reading(toners, components, random, departure) };
  });
}
