import type { Edit, Finding, Fix } from '../../../grammar/finding.ts';
import type { Span } from '../../../grammar/tree.ts';
import { plainDecimal } from '../../exact/plain.ts';
import { toBase } from '../../exact/quantity.ts';
import { ceilToStep, decimal, placesOf, type Rational, rational, smaller } from '../../exact/rational.ts';
import { letDownShare, withLetDown } from '../../paint/letdown.ts';
import { smallestPour } from '../../paint/scales.ts';
import type { Book } from '../book.ts';
import type { EntryCell } from '../cell.ts';
import { batchIn, formulaIn, scaleIn, scaleNamed, shopOf, tonerIn, tonerNamed } from '../known.ts';
import { type Recipe, type RecipeCoat, type RecipeToner, recipeIn, recipeNamed } from '../recipe.ts';
import { type Check, finding, headOf, listed, removedLine } from './check.ts';

export const pourSmall: Check = {
  pages: [
    {
      code: 'pour-small',
      title: 'A pour too small for the scale',
      text: 'Painters read the scale as one running figure, so a pour is the difference of two readings, each off by up to half a step: a whole step at worst. A pour is worth weighing when that step is within the error that the shop accepts (`weighing within 5 %`, also used when the book does not say): on a 0.1 g scale at 5 % that is 2.0 g. This is arithmetic for the worst case, not a rule of any standard. Make a larger batch, weigh on a finer scale, or pour from a let-down of the toner.',
    },
  ],
  in: ['formula', 'variant', 'batch'],
  acrossFiles: true,
  *find(book, cell) {
    const wanted = cell.entry.kind === 'batch' ? wantedByBatch(book, cell) : wantedByFormula(book, cell);
    if (!wanted || wanted.recipe.total.compare(0) <= 0) return;
    const least = smallestPour(wanted.step, shopOf(book).weighingError, 'running');
    const small = wanted.recipe.coats
      .flatMap((coat) => coat.toners)
      .filter((toner) => toner.parts.compare(0) > 0 && pourOf(toner, wanted).compare(least) < 0);
    if (small.length > 0)
      yield* cell.entry.kind === 'batch'
        ? batchFinding(book, small, wanted, least)
        : lineFindings(book, cell, small, wanted, least);
  },
};

interface Wanted {
  readonly recipe: Recipe;
  readonly grams: Rational;
  readonly step: Rational;
  /** Where the weight is written in this entry. */
  readonly at: Span | undefined;
}

const pourOf = (toner: RecipeToner, { recipe, grams }: Wanted): Rational => toner.parts.mul(grams).div(recipe.total);

function wantedByFormula(book: Book, cell: EntryCell): Wanted | undefined {
  const recipe = recipeIn(book, cell);
  const target = recipe.target?.is;
  if (target?.quantity.unit.dimension !== 'mass') return undefined;
  const own = formulaIn(book, cell).target?.line;
  return {
    recipe,
    grams: toBase(target.quantity),
    step: shopOf(book).step,
    at: own?.values.find((value) => value.place === 'weight'),
  };
}

/** What is still to be poured; a cup that was begun is a record. */
function wantedByBatch(book: Book, cell: EntryCell): Wanted | undefined {
  const batch = batchIn(book, cell);
  const recipe = recipeNamed(book, batch.formula);
  if (!recipe || batch.closed || batch.pours.length > 0 || batch.make?.unit.dimension !== 'mass') return undefined;
  const line = cell.entry.lines.find((one) => one.word === 'make');
  const scale = batch.scale === undefined ? undefined : scaleNamed(book, batch.scale);
  return {
    recipe,
    grams: toBase(batch.make),
    step: scale?.step ?? shopOf(book).step,
    at: line?.values.find((value) => value.place === 'weight'),
  };
}

function* batchFinding(book: Book, small: RecipeToner[], wanted: Wanted, least: Rational): Generator<Finding> {
  if (!wanted.at) return;
  yield told(book, small, wanted, least, wanted.at);
}

/**
 * Each at its own toner line. What a variant takes over is told at its target weight, where it has one of its own; else at its id, unless
 * it is too small in the parent, too, and told there.
 */
function* lineFindings(
  book: Book,
  cell: EntryCell,
  small: RecipeToner[],
  wanted: Wanted,
  least: Rational,
): Generator<Finding> {
  const inherited: RecipeToner[] = [];
  for (const toner of small) {
    const own = toner.origins.filter((origin) => origin.cell === cell).at(-1);
    if (own)
      yield told(book, [toner], wanted, least, own.line.values.find((value) => value.place !== 'toner') ?? own.line);
    else inherited.push(toner);
  }
  const fresh = wanted.at ? inherited : inherited.filter(({ code }) => !smallInParent(book, wanted, code, least));
  if (fresh.length > 0) yield told(book, fresh, wanted, least, wanted.at ?? headOf(cell.entry));
}

function smallInParent(book: Book, { recipe, grams, step }: Wanted, code: string, least: Rational): boolean {
  const parent = recipe.lineage[1] === undefined ? undefined : recipeNamed(book, recipe.lineage[1]);
  const toner = parent?.coats.flatMap((coat) => coat.toners).find((one) => one.code === code);
  if (!parent || !toner || parent.total.compare(0) <= 0) return false;
  return pourOf(toner, { recipe: parent, grams, step, at: undefined }).compare(least) < 0;
}

function told(book: Book, small: RecipeToner[], wanted: Wanted, least: Rational, at: Span): Finding {
  const g = (grams: Rational) => `${decimal(grams, placesOf(wanted.step))} g`;
  const percent = shopOf(book).weighingError.mul(100);
  const pours = small.map((toner) => `${toner.code} is ${g(pourOf(toner, wanted))}`);
  const ways = [
    `make at least ${g(enough(small, wanted, least))}`,
    ...finerScales(book, small, wanted).map((id) => `weigh it on ${id}`),
    ...letdowns(book, small).map((id) => `pour ${id} instead`),
  ];
  const fixes = fixesFor(book, small, wanted, least);
  return finding(
    'pour-small',
    'warning',
    at,
    `At ${g(wanted.grams)}, ${listed(pours)}; on a scale with steps of ${g(wanted.step)} a pour below ${g(least)} may be off by more than ${decimal(percent, placesOf(percent))} %.`,
    `${sentence([...ways, ...fixes.filter(({ title }) => title.startsWith('Let ')).map(() => 'let it down first')])}.`,
    fixes.length > 0 ? { fixes } : {},
  );
}

function fixesFor(book: Book, small: readonly RecipeToner[], wanted: Wanted, least: Rational): Fix[] {
  const make = `${decimal(enough(small, wanted, least), placesOf(wanted.step))} g`;
  const larger: Fix[] = wanted.at
    ? [{ title: `Make ${make}`, edits: [{ from: wanted.at.from, to: wanted.at.to, text: make }] }]
    : [];
  const [only] = small;
  const letDown = only && small.length === 1 ? letDownFix(book, only, wanted, least) : undefined;
  return letDown ? [...larger, letDown] : larger;
}

/** Shares that are easily made up: a toner in so many per cent of the mixture. */
const HANDY = ['0.5', '0.25', '0.2', '0.1', '0.05', '0.02', '0.01'];

/**
 * The toner from a dilution that is large enough to be weighed, as an entry of its own below the formula; the binder that comes with it is
 * taken from the binder's line, so that the paint stays the same. Only where both lines stand in this formula.
 */
function letDownFix(book: Book, toner: RecipeToner, wanted: Wanted, least: Rational): Fix | undefined {
  const { cell } = wanted.recipe;
  const coat = wanted.recipe.coats.find((one) => one.toners.includes(toner));
  if (cell.entry.kind !== 'formula' || !coat || tonerNamed(book, toner.code)?.letdownOf !== undefined) return undefined;
  const binder = coat.toners.find(({ code }) => tonerNamed(book, code)?.kind === 'binder');
  const strongest = letDownShare(pourOf(toner, wanted), least);
  const share = HANDY.map(rational).find((one) => one.lte(strongest));
  const code = share && `${toner.code}-${plainDecimal(share.mul(100))}`;
  if (!binder || !share || !code || book.find('toner', code)) return undefined;
  const parts = withLetDown(coat.toners, { code, toner: toner.code, carrier: binder.code, share });
  if (!parts) return undefined;
  return {
    title: `Let ${toner.code} down to ${plainDecimal(share.mul(100))} % in ${binder.code}, as ${code}`,
    edits: [...lineEdits(cell, coat, parts), letDownEntry(book, cell, toner.code, binder.code, code, share)],
  };
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

function letDownEntry(book: Book, cell: EntryCell, toner: string, binder: string, code: string, share: Rational): Edit {
  const { text } = cell.slice;
  const newline = text.includes('\r\n') ? '\r\n' : '\n';
  const at = text.trimEnd().length;
  const of = tonerNamed(book, toner);
  const percent = share.mul(100);
  const lines = [
    `letdown ${code} "${of?.name ?? toner}, ${plainDecimal(percent)} per cent" of ${toner}`,
    ...(of?.system === undefined ? [] : [`  system ${of.system}`]),
    `  toner ${toner} ${plainDecimal(percent)}`,
    `  toner ${binder} ${plainDecimal(rational(100).sub(percent))}`,
  ];
  return { from: at, to: at, text: `${newline}${newline}${lines.join(newline)}` };
}

const sentence = (ways: readonly string[]): string => {
  const all = ways.length < 2 ? ways.join('') : `${ways.slice(0, -1).join(', ')} or ${ways.at(-1)}`;
  return all[0]!.toUpperCase() + all.slice(1);
};

/** The smallest batch, as the scale can show it, in which these toners reach the least pour. */
function enough(small: readonly RecipeToner[], { recipe, step }: Wanted, least: Rational): Rational {
  const smallest = small.map((toner) => toner.parts).reduce(smaller);
  return ceilToStep(least.mul(recipe.total).div(smallest), step);
}

/** Scales of the shop that are fine enough for every one of these pours and carry the batch. */
function finerScales(book: Book, small: readonly RecipeToner[], wanted: Wanted): string[] {
  return [...book.ofKind('scale')]
    .map((cell) => scaleIn(book, cell))
    .filter(({ step, capacity }) => {
      if (!step || step.compare(0) <= 0 || (capacity && capacity.compare(wanted.grams) < 0)) return false;
      const least = smallestPour(step, shopOf(book).weighingError, 'running');
      return small.every((toner) => pourOf(toner, wanted).compare(least) >= 0);
    })
    .map(({ id }) => id)
    .sort();
}

/** Let-downs in the book of a toner that is too little to be weighed. */
function letdowns(book: Book, small: readonly RecipeToner[]): string[] {
  return small
    .flatMap(({ code }) => [...book.usersOf(`toner:${code}`)])
    .filter((cell) => cell.entry.kind === 'letdown')
    .map((cell) => tonerIn(book, cell))
    .filter(({ letdownOf }) => small.some((toner) => toner.code === letdownOf))
    .map(({ code }) => code)
    .sort();
}
