import type { Edit, Finding, Fix } from '../../../grammar/finding.ts';
import { type Line, lineOf, type Span, value } from '../../../grammar/tree.ts';
import { plainDecimal } from '../../exact/plain.ts';
import { toBase } from '../../exact/quantity.ts';
import { decimal, placesOf, type Rational, rational } from '../../exact/rational.ts';
import type { Book } from '../book.ts';
import type { EntryCell } from '../cell.ts';
import { batchIn, formulaIn, scaleNamed, shopOf, tonerNamed } from '../known.ts';
import { type RecipeCoat, type RecipeToner, recipeIn, recipeNamed } from '../recipe.ts';
import {
  type ByLetDown,
  leastPour,
  pourOf,
  smallPours,
  type WaysOut,
  type Weighed,
  waysOut,
  waysSentence,
} from '../small-pours.ts';
import { appended, type Check, finding, headOf, listed, quoted, removedLine } from './check.ts';

export const pourSmall: Check = {
  pages: [
    {
      code: 'pour-small',
      title: 'A pour too small for the scale',
      text: 'Painters read the scale as one running figure, so a pour is the difference of two readings, each off by up to half a step: a whole step at worst. A pour is worth weighing when that step is within the error that the shop accepts (`weighing within 5 %`, also used when the book does not say): on a 0.1 g scale at 5 % that is 2.0 g; 1.0 g where the scale is set to zero before every pour. This is arithmetic for the worst case, not a rule of any standard. There are three ways out. Make a larger batch: the smallest that can be weighed is named. Weigh on a finer scale: the finest one of the book that carries the paint of the cup (its `capacity`; think of the cup itself), where it is fine enough. Or pour from a let-down of the toner: one of the book, or a new one with its entry, and what binder it brings is taken from the binder of the formula, so that the paint stays the same.',
    },
  ],
  in: ['formula', 'variant', 'batch'],
  acrossFiles: true,
  *find(book, cell) {
    const wanted = cell.entry.kind === 'batch' ? wantedByBatch(book, cell) : wantedByFormula(book, cell);
    const small = wanted ? smallPours(book, wanted) : [];
    if (!wanted || small.length === 0) return;
    if (cell.entry.kind !== 'batch') yield* lineFindings(book, cell, small, wanted);
    else if (wanted.at) yield told(book, cell, small, wanted, wanted.at);
  },
};

interface Wanted extends Weighed {
  /** Where the weight is written in this entry. */
  readonly at: Span | undefined;
}

function wantedByFormula(book: Book, cell: EntryCell): Wanted | undefined {
  const recipe = recipeIn(book, cell);
  const target = recipe.target?.is;
  if (target?.quantity.unit.dimension !== 'mass') return undefined;
  const at = value(formulaIn(book, cell).target?.line, 'weight');
  return { recipe, grams: toBase(target.quantity), step: shopOf(book).step, mode: 'running', at };
}

/** What is still to be poured; a cup that was begun is a record. */
function wantedByBatch(book: Book, cell: EntryCell): Wanted | undefined {
  const batch = batchIn(book, cell);
  const recipe = recipeNamed(book, batch.formula);
  if (!recipe || batch.closed || batch.pours.length > 0 || batch.make?.unit.dimension !== 'mass') return undefined;
  const scale = batch.scale === undefined ? undefined : scaleNamed(book, batch.scale);
  return {
    recipe,
    grams: toBase(batch.make),
    step: scale?.step?.gt(0) ? scale.step : shopOf(book).step,
    mode: 'running',
    at: value(lineOf(cell.entry, 'make'), 'weight'),
  };
}

/**
 * Each at its own toner line. What a variant takes over is told at its target weight, where it has one of its own; else at its id, unless
 * it is too small in the parent, too, and told there.
 */
function* lineFindings(book: Book, cell: EntryCell, small: RecipeToner[], wanted: Wanted): Generator<Finding> {
  const inherited: RecipeToner[] = [];
  for (const toner of small) {
    const own = toner.origins.filter((origin) => origin.cell === cell).at(-1);
    if (own) yield told(book, cell, [toner], wanted, own.line.values.find((one) => one.place !== 'toner') ?? own.line);
    else inherited.push(toner);
  }
  const fresh = wanted.at ? inherited : inherited.filter(({ code }) => !smallInParent(book, wanted, code));
  if (fresh.length > 0) yield told(book, cell, fresh, wanted, wanted.at ?? headOf(cell.entry));
}

function smallInParent(book: Book, wanted: Wanted, code: string): boolean {
  const [, parentId] = wanted.recipe.lineage;
  const parent = parentId === undefined ? undefined : recipeNamed(book, parentId);
  return parent !== undefined && smallPours(book, { ...wanted, recipe: parent }).some((one) => one.code === code);
}

function told(book: Book, cell: EntryCell, small: RecipeToner[], wanted: Wanted, at: Span): Finding {
  const g = (grams: Rational) => `${decimal(grams, placesOf(wanted.step))} g`;
  const percent = shopOf(book).weighingError.mul(100);
  const pours = small.map((toner) => `${toner.code} is ${g(pourOf(toner, wanted))}`);
  const least = leastPour(book, wanted.step, wanted.mode);
  const ways = waysOut(book, small, wanted);
  const fixes = fixesFor(book, cell, ways, wanted);
  return finding(
    'pour-small',
    'warning',
    at,
    `At ${g(wanted.grams)}, ${listed(pours)}; on a scale with steps of ${g(wanted.step)} a pour below ${g(least)} may be off by more than ${decimal(percent, placesOf(percent))} %.`,
    waysSentence(ways, wanted.step),
    fixes.length > 0 ? { fixes } : {},
  );
}

function fixesFor(book: Book, cell: EntryCell, { make, scale, letDowns }: WaysOut, { at, step }: Wanted): Fix[] {
  const weight = `${decimal(make, placesOf(step))} g`;
  const batch = cell.entry.kind === 'batch';
  return [
    ...(at ? [{ title: `Make ${weight}`, edits: [{ from: at.from, to: at.to, text: weight }] }] : []),
    ...(scale && batch ? [{ title: `Weigh it on ${scale.name}`, edits: [scaleEdit(cell, scale.name)] }] : []),
    ...(batch ? [] : letDowns.flatMap((one) => letDownFix(book, cell, one) ?? [])),
  ];
}

function scaleEdit(cell: EntryCell, id: string): Edit {
  const written = value(lineOf(cell.entry, 'scale'), 'scale');
  return written ? { from: written.from, to: written.to, text: id } : appended(cell, `scale ${id}`);
}

/** The formula's own lines changed, or plus and minus lines of a variant; with the entry of a let-down that the book does not have. */
function letDownFix(book: Book, cell: EntryCell, way: ByLetDown): Fix | undefined {
  const { code, toner, carrier, share, coat, known } = way;
  const found =
    cell.entry.kind === 'variant'
      ? variantEdits(book, cell, way)
      : { edits: lineEdits(cell, coat, way.parts), appended: [] };
  if (!found) return undefined;
  const lines = [...found.appended, ...(known ? [] : ['', ...letDownEntry(book, way)])];
  return {
    title: known
      ? `Pour ${code} for ${toner}`
      : `Let ${toner} down to ${plainDecimal(share.mul(100))} % in ${carrier}, as ${code}`,
    edits: [...found.edits, ...(lines.length > 0 ? [atEnd(cell, lines)] : [])],
  };
}

function atEnd(cell: EntryCell, lines: readonly string[]): Edit {
  const { text } = cell.slice;
  const newline = text.includes('\r\n') ? '\r\n' : '\n';
  const at = text.trimEnd().length;
  return { from: at, to: at, text: lines.map((line) => `${newline}${line}`).join('') };
}

/** Lines whose code or parts change; a binder that is used up loses its line. */
function lineEdits(
  cell: EntryCell,
  { toners }: RecipeCoat,
  parts: readonly { code: string; parts: Rational }[],
): Edit[] {
  let at = 0;
  return toners.flatMap((toner): Edit[] => {
    const line = toner.origins.at(-1)!.line;
    const now = parts[at];
    const kept = now && (now.code === toner.code || !toners.some(({ code }) => code === now.code));
    if (!kept) return [removedLine(cell, line)];
    at++;
    const edits: Edit[] = [];
    for (const [place, text] of [
      ['toner', now.code],
      ['parts', plainDecimal(now.parts)],
    ] as const) {
      const written = line.values.find((one) => one.place === place);
      const same = place === 'toner' ? now.code === toner.code : now.parts.equals(toner.parts);
      if (written && !same) edits.push({ from: written.from, to: written.to, text });
    }
    return edits;
  });
}

/**
 * A variant leaves the toner out and takes the let-down in; the binder is set to what is left of it. What is new stands in the last coat, so
 * there is no such fix for the others, nor where a coat is named.
 */
function variantEdits(
  book: Book,
  cell: EntryCell,
  { code, toner, carrier, coat, parts }: ByLetDown,
): { edits: Edit[]; appended: string[] } | undefined {
  const recipe = recipeIn(book, cell);
  const { changes } = formulaIn(book, cell);
  if (coat !== recipe.coats.at(-1) || changes.some((one) => one.coat)) return undefined;
  const partsOf = (wanted: string) => parts.find((one) => one.code === wanted)?.parts;
  const inherited = recipeNamed(book, recipe.lineage[1] ?? '')?.coats.flatMap((one) => one.toners) ?? [];
  const dropped = inherited.some((one) => one.code === toner) ? `without ${toner}` : undefined;
  const edits: Edit[] = [];
  const appended: string[] = [];
  for (const [of, text] of [
    [toner, dropped],
    [carrier, setTo(carrier, partsOf(carrier))],
    [code, setTo(code, partsOf(code))],
  ] as const) {
    const own = changes.find((one) => one.code === of)?.line;
    if (own)
      edits.push(text === undefined ? removedLine(cell, own) : { from: own.wordSpan.from, to: endOf(own), text });
    else if (text !== undefined) appended.push(`  ${text}`);
  }
  return { edits, appended };
}

const endOf = ({ values, words, wordSpan }: Line): number =>
  Math.max(wordSpan.to, ...[...values, ...words].map((one) => one.to));

const setTo = (code: string, parts: Rational | undefined): string =>
  parts ? `toner ${code} = ${plainDecimal(parts)}` : `without ${code}`;

function letDownEntry(book: Book, { code, toner, carrier, share }: ByLetDown): string[] {
  const of = tonerNamed(book, toner);
  const percent = share.mul(100);
  return [
    `letdown ${code} ${quoted(`${of?.name ?? toner}, ${plainDecimal(percent)} per cent`)} of ${toner}`,
    ...(of?.system === undefined ? [] : [`  system ${of.system}`]),
    `  toner ${toner} ${plainDecimal(percent)}`,
    `  toner ${carrier} ${plainDecimal(rational(100).sub(percent))}`,
  ];
}
