/** Batches: the record of a cup, pour by pour. */

import { type Entry, type Line, lineOf, text } from '../../../grammar/tree.ts';
import type { Quantity } from '../../exact/quantity.ts';
import type { Rational } from '../../exact/rational.ts';
import { baseIn, quantityIn } from './written.ts';

export interface PourLine {
  readonly code: string;
  /** This pour, g; or the running figure that the scale showed after it. */
  readonly grams: Rational | undefined;
  readonly running: Rational | undefined;
  readonly tint: boolean;
  readonly line: Line;
}

export interface Batch {
  readonly id: string;
  readonly formula: string;
  readonly make: Quantity | undefined;
  readonly pours: readonly PourLine[];
  readonly mixed: { readonly when: string; readonly by: string | undefined } | undefined;
  readonly closed: { readonly when: string; readonly by: string | undefined } | undefined;
  readonly scale: string | undefined;
}

export function readBatch(entry: Entry): Batch {
  return {
    id: text(entry.head, 'id') ?? '',
    formula: text(entry.head, 'formula') ?? '',
    make: quantityIn(lineOf(entry, 'make'), 'weight', 'mass', 'volume'),
    pours: entry.lines.flatMap((line) => readPour(line) ?? []),
    mixed: signed(lineOf(entry, 'mixed')),
    closed: signed(lineOf(entry, 'closed')),
    scale: text(lineOf(entry, 'scale'), 'scale'),
  };
}

function readPour(line: Line): PourLine | undefined {
  if (!line.row || (line.word !== 'poured' && line.word !== 'tinted')) return undefined;
  const code = text(line, 'toner');
  const grams = baseIn(line, 'grams', 'mass');
  const running = baseIn(line, 'running', 'mass');
  if (code === undefined || (!grams && !running)) return undefined;
  return { code, grams, running, tint: line.word === 'tinted', line };
}

function signed(line: Line | undefined): { when: string; by: string | undefined } | undefined {
  const when = text(line, 'when');
  return when === undefined ? undefined : { when, by: text(line, 'who') };
}
