import type { Finding } from '../../../grammar/finding.ts';
import type { Span } from '../../../grammar/tree.ts';
import { toBase } from '../../exact/quantity.ts';
import { ceilToStep, decimal, placesOf, type Rational, smaller } from '../../exact/rational.ts';
import { smallestPour } from '../../paint/scales.ts';
import type { Book } from '../book.ts';
import type { EntryCell } from '../cell.ts';
import { batchIn, formulaIn, scaleIn, scaleNamed, shopOf, tonerIn } from '../known.ts';
import { type Recipe, type RecipeToner, recipeIn, recipeNamed } from '../recipe.ts';
import { type Check, finding, headOf, listed } from './check.ts';

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
  return finding(
    'pour-small',
    'warning',
    at,
    `At ${g(wanted.grams)}, ${listed(pours)}; on a scale with steps of ${g(wanted.step)} a pour below ${g(least)} may be off by more than ${decimal(percent, placesOf(percent))} %.`,
    `${sentence(ways)}.`,
  );
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
