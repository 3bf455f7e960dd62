/** Paint systems: what makes their paint ready to spray, and how long it can be used. */
import { type Entry, type Line, lineOf, linesOf, text, value } from '../../../grammar/tree.ts';
import type { Rational } from '../../exact/rational.ts';
import type { Base } from '../../paint/ready.ts';
import { baseIn, exact, numberIn } from './written.ts';

export interface AddedLine {
  readonly role: 'hardener' | 'reducer';
  readonly code: string;
  /** 1/2 for one part to two of paint, 0.1 for 10 %. */
  readonly share: Rational;
  /** Nothing where a percentage does not say of what. */
  readonly of: Base | undefined;
  readonly by: 'volume' | 'weight' | undefined;
  /** As it is written, for a sheet: `10 % of mix by volume`. */
  readonly written: string;
  /** Booth conditions that a reducer is made for: degrees Celsius and relative humidity, 0..1. */
  readonly temperature: readonly [Rational, Rational] | undefined;
  readonly humidity: readonly [Rational, Rational] | undefined;
  readonly line: Line;
}

export interface PaintSystem {
  readonly id: string;
  readonly name: string;
  readonly added: readonly AddedLine[];
  readonly viscosity:
    | { readonly seconds: Rational; readonly cup: string | undefined; readonly millimetres: number | undefined }
    | undefined;
  /** Seconds, and the temperature that it is stated for. */
  readonly potLife: { readonly seconds: Rational; readonly temperature: Rational | undefined } | undefined;
  /** Seconds for which mixed paint without hardener may be kept. */
  readonly keeps: Rational | undefined;
  readonly film: Film | undefined;
  readonly notes: readonly string[];
}

/** A dry film that is aimed at: um, all coats together. */
export interface Film {
  readonly thickness: Rational;
  readonly coats: number;
}

export function readSystem(entry: Entry): PaintSystem {
  const viscosity = lineOf(entry, 'viscosity');
  const seconds = baseIn(viscosity, 'seconds', 'time');
  const potLife = lineOf(entry, 'potlife');
  const life = baseIn(potLife, 'time', 'time');
  return {
    id: text(entry.head, 'id') ?? '',
    name: text(entry.head, 'name') ?? '',
    added: entry.lines.flatMap((line) => readAdded(line) ?? []),
    viscosity: seconds && {
      seconds,
      cup: text(viscosity, 'cup'),
      millimetres: baseIn(viscosity, 'hole', 'length')?.div(1000).valueOf(),
    },
    potLife: life && { seconds: life, temperature: baseIn(potLife, 'temperature', 'temperature') },
    keeps: baseIn(lineOf(entry, 'keeps'), 'time', 'time'),
    film: filmIn(entry),
    notes: linesOf(entry, 'note').flatMap((line) => text(line, 'text') ?? []),
  };
}

export function filmIn(entry: Entry): Film | undefined {
  const film = lineOf(entry, 'film');
  const thickness = baseIn(film, 'thickness', 'length');
  return thickness && { thickness, coats: numberIn(film, 'coats') || 1 };
}

const BASES: Readonly<Record<string, Base>> = { paint: 'paint', mix: 'mix before', whole: 'whole' };

function readAdded(line: Line): AddedLine | undefined {
  const code = text(line, 'toner');
  if (!line.row || (line.word !== 'hardener' && line.word !== 'reducer') || code === undefined) return undefined;
  const [parts, paint] = [exact(value(line, 'parts')), exact(value(line, 'paint'))];
  const ratio = parts && paint?.gt(0) ? parts.div(paint) : undefined;
  const share = ratio ?? baseIn(line, 'share', 'share');
  if (!share || share.lt(0)) return undefined;
  const by = text(line, 'by') as AddedLine['by'];
  return {
    role: line.word,
    code,
    share,
    // Parts are told against parts of paint; only a percentage can leave open of what.
    of: ratio ? 'paint' : BASES[text(line, 'of') ?? ''],
    by,
    written: ratio
      ? `${text(line, 'parts')} to ${text(line, 'paint')} of paint by ${by ?? '?'}`
      : `${value(line, 'share')?.text} % of ${text(line, 'of') ?? '?'} by ${by ?? '?'}`,
    temperature: pair(line, 'low', 'high', 'temperature'),
    humidity: pair(line, 'dry', 'damp', 'humidity'),
    line,
  };
}

function pair(
  line: Line,
  from: string,
  to: string,
  dimension: 'temperature' | 'humidity',
): readonly [Rational, Rational] | undefined {
  const [low, high] = [baseIn(line, from, dimension), baseIn(line, to, dimension)];
  return low && high && low.lte(high) ? [low, high] : undefined;
}
