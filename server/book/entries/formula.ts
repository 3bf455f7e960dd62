/** Formulas and variants as they are written; what a variant takes over from its parent is worked out in ../recipe.ts. */

import { type Entry, firstLines, type Line, linesOf, says, text, value } from '../../../grammar/tree.ts';
import type { Quantity } from '../../exact/quantity.ts';
import type { Rational } from '../../exact/rational.ts';
import { parentOf } from '../book.ts';
import { exact, type Grey, greyIn, numberIn, quantityIn, type Written, written } from './written.ts';

export interface TonerLine {
  readonly code: string;
  readonly parts: Rational;
  /** On a card: the lot that it was poured from. */
  readonly lot?: string;
  readonly line: Line;
}

export type CoatName = 'ground' | 'mid' | 'top';

export interface CoatLines {
  readonly name: CoatName;
  /** How often it is sprayed, where that belongs to the formula. */
  readonly coats: number | undefined;
  readonly toners: readonly TonerLine[];
  /** The `coat` line; a formula of one coat has none. */
  readonly line: Line | undefined;
}

export type Change =
  | { readonly kind: 'add'; readonly parts: Rational }
  | { readonly kind: 'scale'; readonly percent: Rational }
  | { readonly kind: 'set'; readonly parts: Rational }
  | { readonly kind: 'drop' };

export interface ChangeLine {
  readonly code: string;
  readonly coat: CoatName | undefined;
  readonly change: Change;
  readonly line: Line;
}

export interface Target {
  readonly quantity: Quantity;
  readonly as: 'poured' | 'ready to spray';
  readonly line: Line;
}

export interface Expectation {
  readonly metric: string;
  readonly toner: string | undefined;
  readonly geometry: string | undefined;
  readonly over: 'worst' | 'mean' | undefined;
  readonly viewing: string | undefined;
  readonly operator: string;
  readonly limit: { readonly value: Rational; readonly unit: string | undefined } | undefined;
  readonly grey: Grey | undefined;
  readonly line: Line;
}

/** What a colour goes on: a grey of an undercoat, or a coloured undercoat by its formula. */
export interface NamedUndercoat {
  /** Of the undercoat, or of the formula. */
  readonly id: string;
  readonly coloured: boolean;
  readonly grey: Grey | undefined;
}

export interface Formula {
  readonly id: string;
  readonly name: string;
  readonly parent: string | undefined;
  readonly maker: Written<string> | undefined;
  readonly code: Written<string> | undefined;
  readonly years: Written<string> | undefined;
  readonly system: Written<string> | undefined;
  readonly finish: Written<string> | undefined;
  readonly status: Status | undefined;
  readonly undercoat: (NamedUndercoat & { readonly line: Line }) | undefined;
  readonly target: Target | undefined;
  readonly standard: Written<string> | undefined;
  /** Of a formula; a variant has `changes` instead. */
  readonly coats: readonly CoatLines[];
  readonly changes: readonly ChangeLine[];
  /** Of a variant: coats that it sprays another number of times. */
  readonly timesChanged: ReadonlyMap<CoatName, number>;
  readonly expectations: readonly Expectation[];
  readonly notes: readonly string[];
}

export interface Status {
  readonly is: 'approved' | 'trial' | 'withdrawn';
  readonly by: string | undefined;
  readonly on: string | undefined;
  readonly line: Line;
}

export function readFormula(entry: Entry): Formula {
  const id = text(entry.head, 'id') ?? '';
  const variant = entry.kind === 'variant';
  const lines = firstLines(entry);
  const undercoat = lines.get('undercoat');
  return {
    id,
    name: text(entry.head, 'name') ?? '',
    parent: variant ? parentOf(id) : undefined,
    maker: written(lines.get('maker'), 'maker'),
    code: written(lines.get('code'), 'code'),
    years: written(lines.get('years'), 'years'),
    system: written(lines.get('system'), 'system'),
    finish: written(lines.get('finish'), 'finish'),
    status: readStatus(lines.get('status')),
    undercoat: undercoat && { ...readUndercoatNamed(undercoat), line: undercoat },
    target: readTarget(lines.get('target')),
    standard: written(lines.get('standard'), 'standard'),
    coats: variant ? NOTHING : readCoats(entry),
    changes: variant ? readChanges(entry) : NOTHING,
    timesChanged: variant ? timesChanged(entry) : NONE,
    expectations: lines.has('expect')
      ? linesOf(entry, 'expect').flatMap((line) => readExpectation(line) ?? [])
      : NOTHING,
    notes: lines.has('note') ? linesOf(entry, 'note').flatMap((line) => text(line, 'text') ?? []) : NOTHING,
  };
}

/** What most formulas have none of is the same empty list in all of them. */
const NOTHING: readonly never[] = [];
const NONE: ReadonlyMap<CoatName, number> = new Map();

const timesChanged = (entry: Entry): Map<CoatName, number> =>
  new Map(readCoats(entry).flatMap(({ name, coats }) => (coats ? [[name, coats] as const] : [])));

function readUndercoatNamed(line: Line): NamedUndercoat {
  const formula = text(line, 'formula');
  if (formula !== undefined) return { id: formula, coloured: true, grey: undefined };
  return { id: text(line, 'undercoat') ?? '', coloured: false, grey: greyIn(line) };
}

/** As the line says it: `SEAL grey N5` or `formula PNK-1`. */
export const undercoatWords = ({ id, coloured, grey }: NamedUndercoat): string =>
  coloured ? `formula ${id}` : `${id} grey ${grey?.text ?? '?'}`;

function readStatus(line: Line | undefined): Status | undefined {
  const is = text(line, 'status') as Status['is'] | undefined;
  return line && is && { is, by: text(line, 'who'), on: text(line, 'when'), line };
}

function readTarget(line: Line | undefined): Target | undefined {
  if (!line) return undefined;
  const quantity =
    quantityIn(line, 'weight', 'mass') ?? quantityIn(line, 'volume', 'volume') ?? quantityIn(line, 'area', 'area');
  if (!quantity || quantity.value.compare(0) <= 0) return undefined;
  return { quantity, as: says(line, 'ready') ? 'ready to spray' : 'poured', line };
}

/** Toner lines by coat: each `coat` line begins one, lines before the first belong to the top coat. */
export function readCoats(entry: Entry): CoatLines[] {
  const coats: { name: CoatName; coats: number | undefined; toners: TonerLine[]; line: Line | undefined }[] = [];
  const seen = new Set<string>();
  for (const line of entry.lines) {
    if (!line.row) continue;
    if (line.word === 'coat') {
      const name = (text(line, 'coat') as CoatName | undefined) ?? 'top';
      coats.push({ name, coats: numberIn(line, 'coats'), toners: [], line });
    } else if (line.word === 'toner') {
      if (coats.length === 0) coats.push({ name: 'top', coats: undefined, toners: [], line: undefined });
      const code = text(line, 'toner');
      const parts = exact(value(line, 'parts'));
      const coat = coats.at(-1)!;
      const key = `${coats.length} ${code}`;
      if (code === undefined || !parts || seen.has(key)) continue;
      seen.add(key);
      const lot = text(line, 'lot');
      coat.toners.push({ code, parts, ...(lot === undefined ? {} : { lot }), line });
    }
  }
  return coats;
}

function readChanges(entry: Entry): ChangeLine[] {
  const changes: ChangeLine[] = [];
  let coat: CoatName | undefined;
  for (const line of entry.lines) {
    if (!line.row) continue;
    if (line.word === 'coat') coat = text(line, 'coat') as CoatName | undefined;
    const code = text(line, 'toner');
    if (code === undefined || (line.word !== 'toner' && line.word !== 'without')) continue;
    const change = line.word === 'without' ? ({ kind: 'drop' } as const) : readChange(line);
    if (change) changes.push({ code, coat, change, line });
  }
  return changes;
}

function readChange(line: Line): Change | undefined {
  const delta = exact(value(line, 'delta'));
  const parts = exact(value(line, 'parts'));
  if (parts) return { kind: 'set', parts };
  if (!delta) return undefined;
  return value(line, 'percent') ? { kind: 'scale', percent: delta } : { kind: 'add', parts: delta };
}

const METRICS = ['sprayout', 'predicted', 'coats', 'grey', 'voc', 'cost', 'total', 'share', 'pour'];

function readExpectation(line: Line): Expectation | undefined {
  const metric = METRICS.find((word) => says(line, word));
  const limit = value(line, 'limit');
  const number = exact(limit);
  const operator = text(line, 'operator');
  if (!metric || operator === undefined || !line.whole) return undefined;
  return {
    metric,
    toner: text(line, 'toner'),
    geometry: text(line, 'geometry'),
    over: says(line, 'worst') ? 'worst' : says(line, 'mean') ? 'mean' : undefined,
    viewing: text(line, 'viewing'),
    operator,
    limit: number && { value: number, unit: limit?.unit },
    grey: greyIn(line),
    line,
  };
}
