/** Snippets written from the table of words and its examples: each head with the lines that it usually has, and each word alone. */

import { unitsOf } from '../server/exact/units.ts';
import type { Step } from './expect.ts';
import { dimensionsOf } from './place.ts';
import { formattedExample } from './printer.ts';
import { exampleAtoms } from './sample.ts';
import { type EntryKind, headRows, type Row, rows, rowsIn } from './words.ts';

export interface Snippet {
  readonly prefix: string;
  readonly body: readonly string[];
  readonly description: string;
}

/** The lines with which an entry of each kind usually begins. */
const USUAL: Record<EntryKind, string> = {
  book: 'language timezone scale illuminants tolerance',
  system: '',
  scale: 'readability capacity',
  instrument: 'geometry calibrated',
  toner: 'system kind density solids price lot',
  letdown: 'system toner',
  undercoat: 'system grey coats',
  reading: 'taken surface lab',
  formula: 'maker code years system finish status undercoat target standard toner',
  variant: 'status toner',
  sprayout: 'sprayed measured over film surface toner lab',
  drawdown: 'drawn measured over film toner lab',
  batch: 'make poured mixed',
};

const INDENT = '  ';

export function snippets(): Record<string, Snippet> {
  const found: Record<string, Snippet> = {};
  for (const row of headRows.values()) {
    const stops = counter();
    const kind = row.in[0]!;
    const lines = USUAL[kind].split(' ').flatMap((word) => (word === '' ? [] : [rowsIn(kind).get(word)!]));
    const body = [lineOf(row, stops), ...lines.map((line) => INDENT + lineOf(line, stops)), `${INDENT}$0`];
    found[`${kind} entry`] = { prefix: row.word, body, description: row.help };
  }
  for (const row of rows.filter((one) => !one.head)) {
    const alone = rows.filter((one) => !one.head && one.word === row.word).length === 1;
    const name = alone ? row.word : `${row.word} in ${row.in[0]}`;
    found[`${name} line`] = { prefix: row.word, body: [lineOf(row, counter())], description: row.help };
  }
  return found;
}

/** Numbers the places where the cursor stops. */
const counter = (): (() => number) => {
  let last = 0;
  return () => ++last;
};

/** The example of the row as the formatter sets it, with its values as places to fill. */
function lineOf(row: Row, stop: () => number): string {
  const set = formattedExample(row);
  let line = '';
  let at = 0;
  for (const { text, step } of exampleAtoms(row)) {
    const from = set.indexOf(text, Math.max(at, row.word.length));
    line += escaped(set.slice(at, from)) + placeholder(text, step, stop);
    at = from + text.length;
  }
  return line + escaped(set.slice(at));
}

const escaped = (text: string): string => text.replace(/[\\$}]/g, '\\$&');

function placeholder(text: string, step: Step | undefined, stop: () => number): string {
  if (step?.is === 'unit') {
    const units = dimensionsOf(step.place).flatMap((dimension) => unitsOf(dimension).map((unit) => unit.symbol));
    return choice([text, ...units.slice(0, 6).filter((unit) => unit !== text)], stop);
  }
  if (step?.is !== 'value') return escaped(text);
  if (step.type === 'choice') return choice([text, ...step.args.filter((word) => word !== text)], stop);
  if (text.startsWith('"')) return `"\${${stop()}:${escaped(text.slice(1, -1))}}"`;
  return `\${${stop()}:${escaped(text)}}`;
}

function choice(words: readonly string[], stop: () => number): string {
  if (words.length === 1) return escaped(words[0]!);
  return `\${${stop()}|${words.map((word) => word.replace(/[\\,|$}]/g, '\\$&')).join(',')}|}`;
}
