/** What a sheet says of making a paint ready to spray: pours, viscosity, pot life. */

import type { Book } from '../book/book.ts';
import type { PaintSystem } from '../book/entries/system.ts';
import type { MaterialsByCode } from '../book/materials.ts';
import { type Additions, boothRange, choicesOf, degrees, readyMix } from '../book/ready.ts';
import { decimal, type Rational, rational, sum } from '../exact/rational.ts';
import { flowTimeCaution } from '../paint/ready.ts';
import { type Amount, runningPours } from '../paint/weights.ts';
import { rounded } from './number.ts';
import { plain } from './plain.ts';

export interface ReadyLine {
  readonly code: string;
  readonly role: 'hardener' | 'reducer';
  /** As the system states it. */
  readonly ratio: string;
  readonly grams: string | null;
  readonly cumulative: string | null;
  readonly millilitres: number | null;
}

export interface ReadyAnswer {
  readonly system: string;
  readonly lines: readonly ReadyLine[];
  /** Of the whole when it is ready; null where a density is missing. */
  readonly grams: string | null;
  readonly millilitres: number | null;
  readonly reducers: readonly { readonly code: string; readonly booth: string; readonly chosen: boolean }[];
  readonly viscosity: { readonly seconds: string; readonly cup: string | null; readonly caution: string | null } | null;
  /** As stated, and from when it counts. */
  readonly potLife: string | null;
  readonly keeps: string | null;
  readonly notes: readonly string[];
}

/** For a sheet: one cup of a system's paint. */
export function readyAnswer(
  book: Book,
  additions: Additions | undefined,
  system: PaintSystem | undefined,
  amounts: readonly Amount[],
  step: Rational,
  places: number,
  own?: MaterialsByCode,
): ReadyAnswer | null {
  if (!system || (!additions && !system.viscosity && !system.potLife && !system.keeps)) return null;
  const mix = additions?.components && readyMix(book, amounts, additions.components, own);
  const paint = mix?.lines[0]?.grams;
  const pours = mix && paint ? runningPours(mix.lines.slice(1), paint, step) : undefined;
  return {
    system: system.id,
    lines: (additions?.lines ?? []).map(({ code, role, written }, n) => ({
      code,
      role,
      ratio: written,
      grams: pours?.[n]?.grams ?? null,
      cumulative: pours?.[n]?.cumulative ?? null,
      millilitres: mix ? rounded(mix.lines[n + 1]!.millilitres.valueOf(), 1) : null,
    })),
    grams: mix ? decimal(mix.grams, places) : null,
    millilitres: mix ? rounded(mix.millilitres.valueOf(), 1) : null,
    reducers: choicesOf(system).map((line) => ({
      code: line.code,
      booth: boothRange(line),
      chosen: additions?.lines.includes(line) ?? false,
    })),
    viscosity: viscosityOf(system),
    potLife: potLifeText(system),
    keeps: system.keeps ? timeText(system.keeps) : null,
    notes: additions?.notes ?? [],
  };
}

/** What several cups of one system take together; a running figure has no meaning then. */
export function readyTogether(cups: readonly (ReadyAnswer | null)[], places: number): ReadyAnswer | null {
  const all = cups.filter((one) => one !== null);
  const [first] = all;
  if (!first || all.length === 1) return first ?? null;
  const total = (figures: readonly (string | null)[]): string | null =>
    figures.includes(null) ? null : decimal(sum(figures.map((figure) => rational(figure!))), places);
  const volume = (figures: readonly (number | null)[]): number | null =>
    figures.includes(null)
      ? null
      : rounded(
          figures.reduce<number>((whole, one) => whole + one!, 0),
          1,
        );
  return {
    ...first,
    lines: first.lines.map((line, n) => ({
      ...line,
      grams: total(all.map(({ lines }) => lines[n]!.grams)),
      cumulative: null,
      millilitres: volume(all.map(({ lines }) => lines[n]!.millilitres)),
    })),
    grams: total(all.map(({ grams }) => grams)),
    millilitres: volume(all.map(({ millilitres }) => millilitres)),
  };
}

function viscosityOf({ viscosity }: PaintSystem): ReadyAnswer['viscosity'] {
  if (!viscosity) return null;
  const { seconds, cup, millimetres } = viscosity;
  const caution = flowTimeCaution(
    { ...(cup ? { standard: cup.replace('-', ' ') } : {}), millimetres: millimetres ?? 0 },
    seconds,
  );
  return {
    seconds: plain(seconds),
    cup: cup === undefined ? null : `${cup.replace('-', ' ')}, ${millimetres} mm`,
    caution: caution ?? null,
  };
}

function potLifeText({ potLife }: PaintSystem): string | null {
  if (!potLife) return null;
  const at = potLife.temperature ? ` at ${degrees(potLife.temperature)}` : '';
  return `${timeText(potLife.seconds)}${at} from the moment the hardener is in`;
}

const UNITS = [
  ['days', 86_400],
  ['h', 3600],
  ['min', 60],
] as const;

/** Seconds in the largest unit that gives a whole number, else in minutes. */
export function timeText(seconds: Rational): string {
  for (const [symbol, size] of UNITS) {
    const count = seconds.div(size);
    if (count.d === 1n) return `${plain(count)} ${symbol}`;
  }
  return `${decimal(seconds.div(60), 0)} min`;
}
