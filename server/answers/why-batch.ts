/** Where the figures of a batch come from: what is poured next, how far it has to grow, and each way out of an over-pour. */
import type { Line, Value } from '../../grammar/tree.ts';
import { lineOf } from '../../grammar/tree.ts';
import type { Book } from '../book/book.ts';
import type { EntryCell } from '../book/cell.ts';
import { type Cup, cupIn, isProblem, nextIn } from '../book/cup.ts';
import { toleranceFor } from '../book/entries/shop.ts';
import { shopOf } from '../book/known.ts';
import { recipeNamed } from '../book/recipe.ts';
import { growthOf, type Rescue, rescuesIn } from '../book/rescue.ts';
import { viewingText } from '../colour/viewing.ts';
import { decimal, placesOf, type Rational, sum, zero } from '../exact/rational.ts';
import { deviations, type RecoveryKind } from '../paint/recovery.ts';
import { scaleTo } from '../paint/weights.ts';
import { type Derivation, lineStep, type Step } from './derivation.ts';
import { plain } from './plain.ts';
import { Unanswerable } from './subject.ts';

const KINDS: readonly RecoveryKind[] = ['leave', 'cheapest', 'exact', 'draw off', 'start again'];

export const BATCH_FIGURES: readonly string[] = [
  'next',
  'pour TONER',
  'growth',
  ...KINDS.map((kind) => `choice ${kind}`),
];

/** @throws Unanswerable when the batch cannot be followed, or nothing is too much in it. */
export function whyBatch(book: Book, cell: EntryCell, figure: readonly string[]): Derivation | undefined {
  const cup = cupIn(book, cell);
  if (isProblem(cup)) throw new Unanswerable(cup.problem);
  const [word, ...rest] = figure;
  switch (word) {
    case 'next':
      return whyNext(book, cell, cup);
    case 'pour':
      return rest[0] === undefined ? undefined : whyPoured(book, cell, cup, rest[0]);
    case 'growth':
      return whyGrowth(cell, cup);
    case 'choice':
      return whyChoice(book, cell, cup, rest.join(' '));
    default:
      return undefined;
  }
}

/** Of what was poured how far it is off, of the amount to be made what comes next. */
export function batchLine(book: Book, cell: EntryCell, line: Line, value: Value): Derivation | undefined {
  const cup = cupIn(book, cell);
  if (isProblem(cup)) return undefined;
  if (line.word === 'make' && nextIn(cup)) return whyNext(book, cell, cup);
  const pour = line.word === 'poured' && value.place !== 'toner' && cup.content.pours.find((one) => one.line === line);
  return pour ? whyPoured(book, cell, cup, pour.code) : undefined;
}

const inSteps =
  ({ step }: Cup) =>
  (grams: Rational): string =>
    decimal(grams, placesOf(step));

function whyNext(book: Book, cell: EntryCell, cup: Cup): Derivation {
  const next = nextIn(cup);
  const { id } = cup.batch;
  if (!next) throw new Unanswerable(`Nothing comes next in ${id}: ${cup.batch.closed ? 'it is closed' : 'all is in'}.`);
  const g = inSteps(cup);
  const { pours, shows, amounts } = cup.content;
  const before = amounts.find((one) => one.code === next.code);
  return {
    figure: `next pour of ${id}`,
    value: `${next.grams} g of ${next.code}, the scale then shows ${next.cumulative} g`,
    basis: 'computed',
    steps: [
      {
        text: 'the first toner in the order of the formula that is not yet in, or short of the sheet by what the scale can show',
      },
      ...plannedSteps(book, cell, cup, next.code),
      ...(before ? [{ text: `${g(before.grams)} g of ${next.code} are in the cup already` }] : []),
      { text: `the scale shows ${g(shows)} g now` },
      ...pours.slice(-1).map(({ line }) => lineStep({ cell, line })),
    ],
  };
}

/** The share of a toner in the recipe, what is made, and how the sheet rounds it. */
function plannedSteps(book: Book, cell: EntryCell, cup: Cup, code: string): Step[] {
  const part = cup.recipe.find((one) => one.code === code);
  if (!part) return [{ text: `the formula holds no ${code}: nothing of it was planned` }];
  const total = sum(cup.recipe.map((one) => one.parts));
  const exact = scaleTo(cup.recipe, cup.target).find((one) => one.code === code)!.grams;
  const make = lineOf(cell.entry, 'make');
  return [
    { text: `${plain(part.parts)} of ${plain(total)} parts of ${inSteps(cup)(cup.target)} g = ${decimal(exact, 3)} g` },
    ...recipeSteps(book, cell, cup, code),
    ...(make ? [lineStep({ cell, line: make })] : []),
    {
      text: `the running column of the sheet is rounded to the scale's ${inSteps(cup)(cup.step)} g, a pour is the difference of two running figures`,
    },
  ];
}

/** Where the parts are written: kept in the batch, or in the formula as it is now. */
function recipeSteps(book: Book, cell: EntryCell, cup: Cup, code: string): Step[] {
  if (cup.source !== 'formula') {
    const line = cell.entry.lines.find((one) => one.word === 'toner' && one.values[0]?.text === code);
    return line ? [lineStep({ cell, line })] : [];
  }
  const coats = recipeNamed(book, cup.batch.formula)?.coats ?? [];
  const own = cup.batch.coat ? coats.filter((coat) => coat.name === cup.batch.coat) : coats;
  return own.flatMap((coat) =>
    coat.toners.filter((one) => one.code === code).flatMap((one) => one.origins.map(lineStep)),
  );
}

function whyPoured(book: Book, cell: EntryCell, cup: Cup, code: string): Derivation | undefined {
  const pours = cup.content.pours.filter((pour) => pour.code === code);
  const off = cup.source === 'pours' ? undefined : deviations(cup.plan).find((one) => one.code === code);
  const last = pours.at(-1);
  if (!last) return undefined;
  const g = inSteps(cup);
  const poured = sum(pours.map((pour) => pour.grams));
  const sign = off?.off.gt(0) ? '+' : '';
  const error = shopOf(book).weighingError;
  return {
    figure: `pour of ${code} in ${cup.batch.id}`,
    value: `${g(poured)} g, the scale then showed ${g(last.running)} g${off ? `, ${sign}${g(off.off)} g off the sheet` : ''}`,
    basis: 'measured',
    steps: [
      ...pours.map(({ line }) => lineStep({ cell, line })),
      ...(off ? [{ text: `the sheet has ${g(off.planned)} g` }, ...plannedSteps(book, cell, cup, code)] : []),
      {
        text: `up to ${plain(error.mul(100))} % of a pour, or a step of the scale, is accepted${shopOf(book).stated.has('weighing') ? '' : ' (a default)'}`,
      },
    ],
  };
}

function whyGrowth(cell: EntryCell, cup: Cup): Derivation {
  const k = growthOf(cup);
  const { id, formula } = cup.batch;
  if (cup.source === 'pours')
    throw new Unanswerable(`${id} is closed and keeps no recipe, so nothing in it is too much.`);
  if (!k) {
    const foreign = cup.content.amounts.find(({ code }) => !cup.recipe.some((part) => part.code === code));
    throw new Unanswerable(
      `${id} cannot grow into ${formula}: ${foreign?.code ?? 'a toner'} is in the cup, which the formula does not hold.`,
    );
  }
  return {
    figure: `growth of ${id}`,
    value: k.gt(1) ? `${decimal(k, 4)} times ${inSteps(cup)(cup.target)} g` : 'none: nothing is too much',
    basis: 'computed',
    steps: growthSteps(cell, cup),
  };
}

/** Every toner in the cup against its share of the batch. */
function growthSteps(cell: EntryCell, cup: Cup): Step[] {
  const wanted = new Map(scaleTo(cup.recipe, cup.target).map(({ code, grams }) => [code, grams]));
  const make = lineOf(cell.entry, 'make');
  return [
    { text: 'so many times larger that nothing in the cup is too much: the largest of poured over wanted' },
    ...cup.content.poured.flatMap(({ code, grams }) => {
      const mass = wanted.get(code) ?? zero;
      if (mass.lte(0) || grams.lte(0)) return [];
      const line = cup.content.pours.filter((pour) => pour.code === code).at(-1)?.line;
      const text = `${code}: ${decimal(grams, 3)} g in the cup / ${decimal(mass, 3)} g wanted = ${decimal(grams.div(mass), 4)}`;
      return [line ? { ...lineStep({ cell, line }), text } : { text }];
    }),
    ...(make ? [lineStep({ cell, line: make })] : []),
  ];
}

function whyChoice(book: Book, cell: EntryCell, cup: Cup, kind: string): Derivation | undefined {
  if (!KINDS.some((one) => one === kind)) return undefined;
  const choices = rescuesIn(book, cup);
  if (choices.length === 0)
    throw new Unanswerable(`Nothing is too much in ${cup.batch.id}, so nothing is to be chosen.`);
  const choice = choices.find((one) => one.kind === kind);
  if (!choice)
    throw new Unanswerable(
      `${cup.batch.id} has no such way out. It has: ${choices.map((one) => one.kind).join(', ')}.`,
    );
  const g = inSteps(cup);
  return {
    figure: `choice ${kind} of ${cup.batch.id}`,
    value: `${g(choice.total)} g${choice.removed.gt(0) ? `, ${g(choice.removed)} g ${kind === 'start again' ? 'lost' : 'out'}` : ''}`,
    basis: 'computed',
    steps: [
      { text: ruleOf(book, cup, choice) },
      ...(kind === 'exact' || kind === 'draw off' ? growthSteps(cell, cup) : []),
      ...choice.additions.map((one) => ({
        text: `${one.code} ${one.grams} g, the scale then shows ${one.cumulative} g`,
      })),
      ...predictedSteps(book, choice),
      ...(cup.most ? [{ text: `the cup takes ${g(cup.most)} g${choice.fits ? '' : ', which is less'}` }] : []),
    ],
  };
}

function ruleOf(book: Book, cup: Cup, { kind, exact }: Rescue): string {
  const k = growthOf(cup);
  switch (kind) {
    case 'leave':
      return 'what is too much stays, and the rest is poured as the sheet has it';
    case 'cheapest':
      return `the smallest batch whose predicted difference stays within ${toleranceFor(shopOf(book), '').limit} dE00; what is not over keeps its ratios`;
    case 'exact':
      return `${k ? decimal(k, 4) : '1'} times ${inSteps(cup)(cup.target)} g = ${decimal(exact, 2)} g: every toner up to its share of the larger batch, so that the ratios hold`;
    case 'draw off':
      return 'stirred, and so much taken out that what is left of the toner that is most over is its share of the batch; then finished as the sheet has it';
    case 'start again':
      return 'a fresh cup by the sheet; what is in this one is set aside';
  }
}

const predictedSteps = (book: Book, { predicted }: Rescue): Step[] => [
  {
    text:
      predicted === undefined
        ? 'how far it lies from the formula cannot be predicted'
        : `predicted ${predicted.toFixed(1)} dE00 from the formula at the worst angle under ${viewingText(shopOf(book).viewings[0]!)}; the model's own error, nearly the same for both, is left out`,
  },
];
