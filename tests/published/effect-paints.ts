/** Reads the simulated effect paints (data/effect, see its README). */
import { readFileSync } from 'node:fs';
import { tristimulusWeights } from '../../server/colour/weights.ts';
import type { EffectCard } from '../../server/paint/effect-fit.ts';
import { effectGeometryNamed } from '../../server/paint/effect-geometry.ts';
import type { EffectKind } from '../../server/paint/effect-unknowns.ts';

export const bands = { start: 400, step: 10, count: 31 };
export const weights = tristimulusWeights('D65', '10', bands.start, bands.step, bands.count);
export const geometries = ['45as-15', '45as15', '45as25', '45as45', '45as75', '45as110'].map(
  (name) => effectGeometryNamed(name)!,
);
/** Inside the film, Lambertian. */
export const blackUndercoat = new Float64Array(bands.count).fill(0.04);

/** The toners and all that a book knows of them before the first card: the kind. */
export const codes = ['AC', 'AM', 'AF', 'PW', 'PB', 'BK', 'WH', 'FC', 'BU', 'RD', 'GN', 'YE'];
export const kinds: EffectKind[] = [
  ...(['flake', 'flake', 'flake', 'pearl', 'pearl'] as const),
  ...(['absorbing', 'scattering', 'scattering', 'absorbing', 'absorbing', 'absorbing', 'scattering'] as const),
];

export function rowsOf(file: string): string[][] {
  const text = readFileSync(new URL(`data/effect/${file}`, import.meta.url), 'utf8');
  const lines = text.split('\n').filter((line) => line !== '' && !line.startsWith('#'));
  return lines.slice(1).map((line) => line.split(','));
}

export interface SimulatedPaint {
  readonly formula: string;
  readonly toners: number[];
  readonly shares: number[];
  /** angle-major, without noise of reading */
  readonly reflectance: Float64Array;
  /** as the simulation states it, per angle */
  readonly labs: number[][];
}

export function paintsOf(file: 'cards.csv' | 'unseen.csv'): SimulatedPaint[] {
  const byCard = new Map<string, string[][]>();
  for (const row of rowsOf(file)) byCard.set(row[0]!, [...(byCard.get(row[0]!) ?? []), row]);
  return [...byCard.values()].map((rows) => {
    const formula = rows[0]![1]!;
    return {
      formula,
      ...mixtureOf(formula),
      reflectance: Float64Array.from(rows.flatMap((row) => row.slice(6).map(Number))),
      labs: rows.map((row) => row.slice(3, 6).map(Number)),
    };
  });
}

/** `AM 0.35 BK 0.01` as places and shares. */
export function mixtureOf(formula: string): { toners: number[]; shares: number[] } {
  const words = formula.split(' ');
  return {
    toners: words.filter((_, i) => i % 2 === 0).map((code) => codes.indexOf(code)),
    shares: words.filter((_, i) => i % 2 === 1).map(Number),
  };
}

/** Uniform numbers from a seed (mulberry32). */
function uniform(seed: number): () => number {
  let state = seed;
  return () => {
    state = (state + 0x6d2b79f5) | 0;
    let t = Math.imul(state ^ (state >>> 15), 1 | state);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

/** Cards as a shop would read them: each angle off by 0.5 %, each band by 0.0002 (standard deviations). */
export function readCards(paints: readonly SimulatedPaint[], seed: number, card = 0.005, band = 0.0002): EffectCard[] {
  const random = uniform(seed);
  const normal = (): number => Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());
  return paints.map(({ toners, shares, reflectance }) => {
    const off = geometries.map(() => 1 + card * normal());
    return {
      toners,
      shares,
      thickness: 1,
      undercoat: blackUndercoat,
      angles: geometries.map((_, a) => a),
      reflectance: reflectance.map((value, at) => value * off[Math.floor(at / bands.count)]! + band * normal()),
    };
  });
}

/** About two cards a toner: masstones, one black, two levels of each colour in one flake, white twice, flop control once. */
export const lean = new Set([
  ...['AC 0.5', 'AM 0.5', 'AF 0.5', 'PW 0.5', 'PB 0.5'],
  ...['AC 0.4 BK 0.012', 'AM 0.4 BK 0.012', 'AF 0.4 BK 0.012', 'PW 0.4 BK 0.012', 'PB 0.4 BK 0.012'],
  ...['BU', 'RD', 'GN', 'YE'].flatMap((code) => [`AM 0.35 ${code} 0.02`, `AM 0.35 ${code} 0.2`]),
  ...['AM 0.35 WH 0.03', 'AM 0.35 WH 0.3', 'AM 0.35 FC 0.2'],
]);
