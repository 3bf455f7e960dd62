/** The paint of a system made ready to spray: hardener and reducer with their pours, reducer choice, viscosity, pot life. */

import type { Book } from '../book/book.ts';
import type { AddedLine, PaintSystem } from '../book/entries/system.ts';
import { systemNamed } from '../book/known.ts';
import { type Lacking, lackingText, liquidsOf, materialNamed } from '../book/materials.ts';
import { decimal, type Rational, sum } from '../exact/rational.ts';
import {
  type Booth,
  type Component,
  flowTimeCaution,
  type ReadyMix,
  readyToSpray,
  suitableReducers,
} from '../paint/ready.ts';
import { type Amount, runningPours } from '../paint/weights.ts';
import { rounded } from './number.ts';
import { plain } from './plain.ts';

/** What a system adds to its paint, for a booth. */
export interface Additions {
  readonly system: PaintSystem;
  readonly lines: readonly AddedLine[];
  /** Nothing while a percentage lacks its base or a density is missing. */
  readonly components: readonly Component[] | undefined;
  readonly missing: readonly Lacking[];
  /** Why there are no components, and what was chosen; full sentences. */
  readonly notes: readonly string[];
}

/** Undefined where the system states neither hardener nor reducer. */
export function additionsOf(book: Book, systemId: string | undefined, booth: Booth | undefined): Additions | undefined {
  const system = systemId === undefined ? undefined : systemNamed(book, systemId);
  if (!system || system.added.length === 0) return undefined;
  const { lines, notes } = chosen(system, booth);
  const open = lines.filter((line) => !line.of || !line.by);
  const missing = lines.flatMap(({ code }): Lacking[] => {
    const material = materialNamed(book, code);
    return material?.density ? [] : [{ code, lacks: [material ? 'density' : 'entry'] }];
  });
  const components = lines.map(
    ({ code, role, share, of, by }): Component => ({
      code,
      role,
      share,
      of: of ?? 'paint',
      by: by ?? 'volume',
      density: materialNamed(book, code)?.density ?? share,
    }),
  );
  return {
    system,
    lines,
    components: open.length + missing.length > 0 ? undefined : components,
    missing,
    notes: [
      ...notes,
      ...open.map(
        ({ code, of }) => `${code}: ${of ? 'by volume or by weight is not said' : 'a percentage of what is not said'}.`,
      ),
      ...missing.map((one) => `${lackingText(one)}.`),
    ],
  };
}

/** Hardeners and reducers without a temperature always go in; of those with one, the one that suits the booth. */
function chosen({ added }: PaintSystem, booth: Booth | undefined): { lines: AddedLine[]; notes: string[] } {
  const choices = added.filter((line) => line.role === 'reducer' && line.temperature);
  const always = added.filter((line) => !choices.includes(line));
  if (choices.length === 0) return { lines: always, notes: [] };
  const suits =
    booth &&
    suitableReducers(
      choices.map(({ code, temperature, humidity }) => ({
        code,
        temperature: temperature!,
        ...(humidity ? { humidity } : {}),
      })),
      booth,
    )[0];
  const taken = booth ? choices.find(({ code }) => code === suits?.code) : choices[0];
  const lines = added.filter((line) => line === taken || always.includes(line));
  if (!taken)
    return {
      lines,
      notes: [`No reducer of the book is made for a booth at ${degrees(booth!.temperature)}; none was added.`],
    };
  const why = booth
    ? `${taken.code} is made for a booth at ${range(taken)}.`
    : `${taken.code} is for a booth at ${range(taken)}; the temperature of yours was not said.`;
  return { lines, notes: choices.length > 1 || booth ? [why] : [] };
}

const degrees = (value: Rational): string => `${plain(value)} C`;
const range = ({ temperature }: AddedLine): string =>
  temperature ? `${plain(temperature[0])} to ${plain(temperature[1])} C` : 'any temperature';

/** The paint of a coat made ready; undefined where a density is missing. */
export function readyMix(
  book: Book,
  amounts: readonly Amount[],
  components: readonly Component[],
): ReadyMix | undefined {
  const { liquids, missing } = liquidsOf(book, amounts);
  if (missing.length > 0) return undefined;
  const grams = sum(amounts.map((amount) => amount.grams));
  const millilitres = sum(liquids.map((liquid) => liquid.grams.div(liquid.density)));
  if (grams.lte(0)) return undefined;
  return readyToSpray({ code: 'paint', grams, density: grams.div(millilitres) }, components);
}

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

/** For a sheet, one coat or several of the same system in one cup. */
export function readyAnswer(
  book: Book,
  additions: Additions | undefined,
  system: PaintSystem | undefined,
  amounts: readonly Amount[],
  step: Rational,
  places: number,
): ReadyAnswer | null {
  if (!system || (!additions && !system.viscosity && !system.potLife && !system.keeps)) return null;
  const mix = additions?.components && readyMix(book, amounts, additions.components);
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
    reducers: system.added
      .filter((line) => line.role === 'reducer' && line.temperature)
      .map((line) => ({ code: line.code, booth: range(line), chosen: additions?.lines.includes(line) ?? false })),
    viscosity: viscosityOf(system),
    potLife: potLifeText(system),
    keeps: system.keeps ? timeText(system.keeps) : null,
    notes: additions?.notes ?? [],
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
