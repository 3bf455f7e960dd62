/** The recipe of a formula: of a variant, its parent's recipe with the plus and minus lines worked in, down any number of steps. */

import type { Line } from '../../grammar/tree.ts';
import { type Rational, rational, sum, Total, zero } from '../exact/rational.ts';
import type { Book } from './book.ts';
import type { EntryCell } from './cell.ts';
import type { ChangeLine, CoatName, Expectation, Formula, NamedUndercoat, Status, Target } from './entries/formula.ts';
import { formulaIn } from './known.ts';

/** Where a figure was written: the line of an entry. */
export interface Origin {
  readonly cell: EntryCell;
  readonly line: Line;
}

export interface RecipeToner {
  readonly code: string;
  readonly parts: Rational;
  /** The lines that made the parts, the formula's first. */
  readonly origins: readonly Origin[];
}

export interface RecipeCoat {
  readonly name: CoatName;
  readonly coats: number | undefined;
  readonly toners: readonly RecipeToner[];
}

export interface Inherited<T> {
  readonly is: T;
  /** The entry that says so: the formula itself or one it derives from. */
  readonly from: EntryCell;
}

export interface Recipe {
  readonly id: string;
  readonly name: string;
  readonly cell: EntryCell;
  /** The formula's id and its parents', nearest first. */
  readonly lineage: readonly string[];
  /** A parent, near or far, that is not in the book: then nothing tells what is poured. */
  readonly missingParent: string | undefined;
  readonly coats: readonly RecipeCoat[];
  readonly total: Rational;
  readonly maker: Inherited<string> | undefined;
  readonly code: Inherited<string> | undefined;
  readonly years: Inherited<string> | undefined;
  readonly system: Inherited<string> | undefined;
  readonly finish: Inherited<string> | undefined;
  readonly undercoat: Inherited<NamedUndercoat> | undefined;
  readonly target: Inherited<Target> | undefined;
  readonly standard: Inherited<string> | undefined;
  /** Of the formula itself, never inherited. */
  readonly status: Status | undefined;
  readonly expectations: readonly Expectation[];
  readonly notes: readonly string[];
  readonly slips: readonly RecipeSlip[];
}

export const withoutParent = (id: string): string => `${id}, from which it derives, is not in this book`;

/** A change line that cannot be carried out as it stands. */
export interface RecipeSlip {
  readonly kind: 'takes too much' | 'nothing to change' | 'parent missing';
  readonly code: string;
  readonly line: Line | undefined;
  /** What the parent has. */
  readonly has: Rational;
}

export function recipeIn(book: Book, cell: EntryCell): Recipe {
  return book
    .fact(
      'recipe',
      cell,
      () => compute(book, cell),
      () => alone(cell, formulaIn(book, cell)),
    )
    .get();
}

export function recipeNamed(book: Book, id: string): Recipe | undefined {
  const cell = book.find('formula', id);
  return cell && recipeIn(book, cell);
}

/** The paint system of a formula by its id. */
export const recipeSystem = (book: Book, id: string): string | undefined => recipeNamed(book, id)?.system?.is;

function compute(book: Book, cell: EntryCell): Recipe {
  const formula = formulaIn(book, cell);
  if (formula.parent === undefined) return alone(cell, formula);
  const parent = recipeNamed(book, formula.parent);
  if (!parent) {
    const slip: RecipeSlip = { kind: 'parent missing', code: formula.parent, line: undefined, has: zero };
    return { ...alone(cell, formula), missingParent: formula.parent, slips: [slip] };
  }
  return derive(cell, formula, parent);
}

function alone(cell: EntryCell, formula: Formula): Recipe {
  const poured = formula.coats.filter(({ toners }) => toners.length > 0);
  const coats = poured.map((coat) => ({
    name: coat.name,
    coats: coat.coats,
    toners: coat.toners.map(({ code, parts, line }) => ({ code, parts, origins: [{ cell, line }] })),
  }));
  const own = <T>(is: T | undefined): Inherited<T> | undefined => (is === undefined ? undefined : { is, from: cell });
  return {
    id: formula.id,
    name: formula.name,
    cell,
    lineage: [formula.id],
    missingParent: undefined,
    coats,
    total: totalOf(coats),
    maker: own(formula.maker?.is),
    code: own(formula.code?.is),
    years: own(formula.years?.is),
    system: own(formula.system?.is),
    finish: own(formula.finish?.is),
    undercoat: own(formula.undercoat && undercoatOf(formula.undercoat)),
    target: own(formula.target),
    standard: own(formula.standard?.is),
    status: formula.status,
    expectations: formula.expectations,
    notes: formula.notes,
    slips: [],
  };
}

const undercoatOf = ({ id, coloured, grey }: NamedUndercoat): NamedUndercoat => ({ id, coloured, grey });

function derive(cell: EntryCell, formula: Formula, parent: Recipe): Recipe {
  const own = alone(cell, formula);
  const { missingParent } = parent;
  // Its own plus and minus lines alone are no paint.
  const { coats, slips } =
    missingParent === undefined ? changed(cell, parent.coats, formula) : { coats: [], slips: parent.slips };
  return {
    ...own,
    lineage: [formula.id, ...parent.lineage],
    missingParent,
    coats,
    total: totalOf(coats),
    maker: own.maker ?? parent.maker,
    code: own.code ?? parent.code,
    years: own.years ?? parent.years,
    system: own.system ?? parent.system,
    finish: own.finish ?? parent.finish,
    undercoat: own.undercoat ?? parent.undercoat,
    target: own.target ?? parent.target,
    standard: own.standard ?? parent.standard,
    slips,
  };
}

function totalOf(coats: readonly RecipeCoat[]): Rational {
  const total = new Total();
  for (const { toners } of coats) for (const { parts } of toners) total.add(parts);
  return total.value;
}

type Working = { name: CoatName; coats: number | undefined; toners: RecipeToner[] };

function changed(
  cell: EntryCell,
  before: readonly RecipeCoat[],
  { changes, timesChanged }: Formula,
): { coats: Working[]; slips: RecipeSlip[] } {
  const coats: Working[] = before.map((coat) => ({
    ...coat,
    coats: timesChanged.get(coat.name) ?? coat.coats,
    toners: [...coat.toners],
  }));
  const slips: RecipeSlip[] = [];
  const done = new Set<string>();
  for (const one of changes) {
    const key = `${one.coat ?? ''} ${one.code}`;
    if (done.has(key)) continue;
    done.add(key);
    const slip = apply(cell, coats, one);
    if (slip) slips.push(slip);
  }
  return { coats: coats.filter((coat) => coat.toners.length > 0), slips };
}

/** Carries out one change; the coat is the one named, else the one that has the toner, else the last (the top). */
function apply(
  cell: EntryCell,
  coats: Working[],
  { code, coat: coatName, change, line }: ChangeLine,
): RecipeSlip | undefined {
  const named = coatName && coats.find((coat) => coat.name === coatName);
  const coat = coatName ? named : coats.find((one) => one.toners.some((toner) => toner.code === code));
  const index = coat?.toners.findIndex((toner) => toner.code === code) ?? -1;
  const old = index < 0 ? undefined : coat!.toners[index]!;
  if (!old && (change.kind === 'drop' || change.kind === 'scale'))
    return { kind: 'nothing to change', code, line, has: zero };
  const has = old?.parts ?? zero;
  const wanted = partsAfter(has, change);
  const slip = wanted.compare(0) < 0 ? ({ kind: 'takes too much', code, line, has } as const) : undefined;
  const parts = slip ? zero : wanted;
  const into = coat ?? newCoat(coats, coatName);
  if (parts.compare(0) === 0) {
    if (old) into.toners.splice(index, 1);
    return slip;
  }
  const toner: RecipeToner = { code, parts, origins: [...(old?.origins ?? []), { cell, line }] };
  if (old) into.toners[index] = toner;
  else into.toners.push(toner);
  return slip;
}

function newCoat(coats: Working[], name: CoatName | undefined): Working {
  if (!name && coats.length > 0) return coats.at(-1)!;
  const coat: Working = { name: name ?? 'top', coats: undefined, toners: [] };
  coats.push(coat);
  return coat;
}

function partsAfter(has: Rational, change: ChangeLine['change']): Rational {
  switch (change.kind) {
    case 'add':
      return has.add(change.parts);
    case 'scale':
      return has.mul(change.percent.div(100).add(rational(1)));
    case 'set':
      return change.parts;
    case 'drop':
      return zero;
  }
}

/** Do two lists of parts mix to the same paint: the same toners in the same ratios? */
export function sameRatios(
  a: readonly { code: string; parts: Rational }[],
  b: readonly { code: string; parts: Rational }[],
): boolean {
  const totalA = sum(a.map((one) => one.parts));
  const totalB = sum(b.map((one) => one.parts));
  if (a.length !== b.length || totalA.compare(0) === 0 || totalB.compare(0) === 0) return false;
  return a.every(({ code, parts }) => {
    const other = b.find((one) => one.code === code);
    return other !== undefined && parts.mul(totalB).equals(other.parts.mul(totalA));
  });
}
