/** Batches: the record of a cup, pour by pour. */

import { type Entry, type Line, lineOf, linesOf, says, text, value } from '../../../grammar/tree.ts';
import type { Quantity } from '../../exact/quantity.ts';
import type { Rational } from '../../exact/rational.ts';
import type { CoatName } from './formula.ts';
import { baseIn, exact, quantityIn } from './written.ts';

export interface PourLine {
  readonly code: string;
  /** This pour, g; or the running figure that the scale showed after it. */
  readonly grams: Rational | undefined;
  readonly running: Rational | undefined;
  readonly tint: boolean;
  /** A tint that made the colour better. */
  readonly accepted: boolean;
  readonly line: Line;
}

/** What happened to the cup, in the order written. */
export type Step =
  | (PourLine & { readonly kind: 'pour' })
  /** Taken out of the stirred cup, g. */
  | { readonly kind: 'removed'; readonly grams: Rational; readonly line: Line }
  /** What the cup holds by the scale, g. */
  | { readonly kind: 'weighed'; readonly grams: Rational; readonly when: string | undefined; readonly line: Line };

export interface Signed {
  readonly when: string;
  readonly by: string | undefined;
}

export interface Batch {
  readonly id: string;
  readonly formula: string;
  readonly coat: CoatName | undefined;
  readonly make: Quantity | undefined;
  readonly pours: readonly PourLine[];
  readonly steps: readonly Step[];
  readonly mixed: Signed | undefined;
  readonly closed: Signed | undefined;
  readonly scale: string | undefined;
  /** g, of the scale that was used, as the closed batch keeps it. */
  readonly readability: Rational | undefined;
  readonly leftover: { readonly batch: string; readonly grams: Rational; readonly line: Line } | undefined;
  /** ml */
  readonly cup: Rational | undefined;
  /** Temperature of the booth that day, C. */
  readonly booth: Rational | undefined;
  readonly stirred: ReadonlyMap<string, { readonly yes: boolean; readonly line: Line }>;
  readonly lots: ReadonlyMap<string, string>;
  /** Toners of which too much is in the cup, and stays. */
  readonly accepted: ReadonlyMap<string, string>;
  /** The recipe as it was when the batch was closed; empty where the batch keeps none. */
  readonly kept: readonly { readonly code: string; readonly parts: Rational }[];
  readonly notes: readonly string[];
}

export function readBatch(entry: Entry): Batch {
  const steps = entry.lines.flatMap((line) => readStep(line) ?? []);
  return {
    id: text(entry.head, 'id') ?? '',
    formula: text(entry.head, 'formula') ?? '',
    coat: text(lineOf(entry, 'coat'), 'coat') as CoatName | undefined,
    make: quantityIn(lineOf(entry, 'make'), 'weight', 'mass', 'volume'),
    pours: steps.filter((step) => step.kind === 'pour'),
    steps,
    mixed: signed(lineOf(entry, 'mixed')),
    closed: signed(lineOf(entry, 'closed')),
    scale: text(lineOf(entry, 'scale'), 'scale'),
    readability: baseIn(lineOf(entry, 'readability'), 'step', 'mass'),
    leftover: readLeftover(lineOf(entry, 'from')),
    cup: baseIn(lineOf(entry, 'cup'), 'cup', 'volume'),
    booth: baseIn(lineOf(entry, 'booth'), 'temperature', 'temperature'),
    stirred: byToner(entry, 'stirred', (line) => ({ yes: text(line, 'stirred') !== 'no', line })),
    lots: byToner(entry, 'lot', (line) => text(line, 'lot') ?? ''),
    accepted: byToner(entry, 'accepted', (line) => text(line, 'reason') ?? ''),
    kept: linesOf(entry, 'toner').flatMap((line) => {
      const [code, parts] = [text(line, 'toner'), exact(value(line, 'parts'))];
      return code !== undefined && parts?.gt(0) ? [{ code, parts }] : [];
    }),
    notes: linesOf(entry, 'note').flatMap((line) => text(line, 'text') ?? []),
  };
}

function readStep(line: Line): Step | undefined {
  if (!line.row) return undefined;
  if (line.word === 'poured' || line.word === 'tinted') return readPour(line);
  const grams = baseIn(line, 'grams', 'mass');
  if (!grams) return undefined;
  if (line.word === 'removed') return { kind: 'removed', grams, line };
  return line.word === 'weighed' ? { kind: 'weighed', grams, when: text(line, 'when'), line } : undefined;
}

function readPour(line: Line): Step | undefined {
  const code = text(line, 'toner');
  const grams = baseIn(line, 'grams', 'mass');
  const running = baseIn(line, 'running', 'mass');
  if (code === undefined || (!grams && !running)) return undefined;
  const tint = line.word === 'tinted';
  return { kind: 'pour', code, grams, running, tint, accepted: tint && says(line, 'accepted'), line };
}

function readLeftover(line: Line | undefined): Batch['leftover'] {
  const [batch, grams] = [text(line, 'batch'), baseIn(line, 'grams', 'mass')];
  return line && batch !== undefined && grams?.gt(0) ? { batch, grams, line } : undefined;
}

function byToner<T>(entry: Entry, word: string, read: (line: Line) => T): ReadonlyMap<string, T> {
  return new Map(
    linesOf(entry, word).flatMap((line): [string, T][] => {
      const code = text(line, 'toner');
      return code === undefined ? [] : [[code, read(line)]];
    }),
  );
}

function signed(line: Line | undefined): Signed | undefined {
  const when = text(line, 'when');
  return when === undefined ? undefined : { when, by: text(line, 'who') };
}
