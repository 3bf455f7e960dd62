import type { Finding } from '../../../grammar/finding.ts';
import { toBase } from '../../exact/quantity.ts';
import { placesOf, type Rational, rational } from '../../exact/rational.ts';
import { unit } from '../../exact/units.ts';
import type { Book } from '../book.ts';
import type { EntryCell } from '../cell.ts';
import type { Expectation } from '../entries/formula.ts';
import { formulaIn } from '../known.ts';
import { type Hiding, hidingIn, settledHiding } from '../optics/hiding.ts';
import { predictedIn, type Unpredicted } from '../optics/predicted.ts';
import { recipeIn, withoutParent } from '../recipe.ts';
import { type Check, finding } from './check.ts';
import {
  BENCH_UNITS,
  costFigure,
  type Figure,
  type Lacks,
  pourFigure,
  shareFigure,
  totalFigure,
  vocFigure,
} from './expected-bench.ts';
import { predictedFigure, sprayoutFigure } from './expected-colour.ts';
import { bestGreyFigure, coatsFigure, GREY_EQUAL, greyLimit } from './expected-hiding.ts';

export const expectation: Check = {
  pages: [
    {
      code: 'expectation-fails',
      title: 'A stated fact does not hold',
      text: '`expect` states a fact about the formula that is checked like a test: `expect sprayout worst <= 1.0 dE00`, `expect share BLK-1 < 2 %`, `expect pour BLK-1 >= 2 g`, `expect predicted worst <= 2 dE00`, `expect coats <= 3`, `expect total = 100`, `expect grey = N5`, `expect voc <= 420 g/l`, `expect cost <= 30 EUR/kg`. The figure is told as it is. The coats are those over the undercoat that the formula names; the grey is the one over which the colour is predicted to hide soonest, by half steps of the Munsell scale, which need not be the one that the formula names. Correct the formula, or the expectation. The VOC is the figure that the limit of the book is for (actual, less water, or less water and exempt, by its `voc` line; less water where it names no limit), of the paint ready to spray: with the hardener of its system and, where the booth chooses between reducers, with the one that gives most, since a stated fact has to hold in every booth. Where the system adds nothing it is of the paint as poured; of a colour of several coats it is the coat that gives most, or, where the limit counts a topcoat of several stages as one, all of them with the clear coat. It is arithmetic and no clearance to spray. The cost is of the paint as poured, all coats together, without hardener, reducer and undercoat: of a kilogram (`EUR/kg`) or litre (`EUR/l`), or of the target (`EUR`).',
    },
    {
      code: 'expectation-open',
      title: 'A stated fact that cannot be checked yet',
      text: 'What the expectation asks for is not there: no card shows the formula as it is now, the formula has no standard, target weight or undercoat, the angle was not read, no card tells of a toner, no film of known thickness tells what a coat is, or a toner lacks its price or a figure of its VOC. It neither holds nor fails.',
    },
    {
      code: 'expectation-unit',
      title: 'An expectation in the wrong unit',
      text: 'Differences are in dE00 (or dE76, dE94, dE99o), shares in %, pours in a unit of mass, totals in parts without a unit, VOC in g/l or lb/gal-US, cost in money for the target (EUR) or as a price (EUR/kg, EUR/l).',
    },
  ],
  in: ['formula', 'variant'],
  acrossFiles: true,
  *find(book, cell) {
    for (const one of formulaIn(book, cell).expectations) {
      const found = examine(book, cell, one);
      if (found) yield found;
    }
  },
};

function examine(book: Book, cell: EntryCell, one: Expectation): Finding | undefined {
  const figure = figureFor(book, cell, one, settled);
  if (!figure) return undefined;
  const { line } = one;
  const at = { from: line.wordSpan.from, to: Math.max(line.wordSpan.to, ...line.values.map((value) => value.to)) };
  if ('unit' in figure) {
    return finding(
      'expectation-unit',
      'error',
      at,
      `This cannot be held against ${figure.unit}.`,
      UNITS[one.metric] ?? 'Correct the unit.',
    );
  }
  if ('open' in figure)
    return finding(
      'expectation-open',
      'info',
      at,
      `This cannot be checked yet: ${figure.open}.`,
      'It neither holds nor fails.',
    );
  const limit = limitOf(one);
  if (!limit || holds(figure.value, one.operator, limit, one)) return undefined;
  return finding(
    'expectation-fails',
    'warning',
    at,
    `This does not hold: ${figure.told}.`,
    'Correct the formula, or what is expected of it.',
  );
}

/** What hiding is known without working it out, which takes longer than a keystroke may. */
function settled(book: Book, cell: EntryCell): Hiding | Unpredicted {
  const hiding = settledHiding(cell);
  if (hiding) return hiding;
  const found = predictedIn(book, cell);
  return { none: 'none' in found ? nothing(found) : 'hiding is being worked out' };
}

const nothing = ({ none }: Unpredicted): string => `nothing is predicted, since ${none}`;

export interface Stands {
  readonly is: 'holds' | 'fails' | 'open';
  readonly told: string;
  readonly lacks?: Lacks;
}

/** Does a stated fact hold? `open` where it cannot be told, or is not computed. Hiding is worked out, unless one says where it is to be had. */
export function standingOf(
  book: Book,
  cell: EntryCell,
  one: Expectation,
  hidingOf: (book: Book, cell: EntryCell) => Hiding | Unpredicted = hidingIn,
): Stands {
  const figure = figureFor(book, cell, one, (...formula) => {
    const hiding = hidingOf(...formula);
    return 'none' in hiding ? { none: nothing(hiding) } : hiding;
  });
  if (!figure) return { is: 'open', told: 'it is not computed' };
  if ('open' in figure)
    return { is: 'open', told: figure.open, ...(figure.lacks === undefined ? {} : { lacks: figure.lacks }) };
  if ('unit' in figure) return { is: 'fails', told: `it cannot be held against ${figure.unit}` };
  const limit = limitOf(one);
  if (!limit) return { is: 'open', told: 'its limit cannot be read' };
  return { is: holds(figure.value, one.operator, limit, one) ? 'holds' : 'fails', told: figure.told };
}

const UNITS: Readonly<Record<string, string>> = {
  sprayout: 'Write the limit in dE00.',
  ...BENCH_UNITS,
  grey: 'Write a grey, such as N5 or L* 51.',
  predicted: 'Write the limit in dE00.',
  coats: 'Write how many coats, without a unit.',
};

function limitOf({ limit, grey, metric }: Expectation): Rational | undefined {
  if (metric === 'grey') return grey && greyLimit(grey);
  if (!limit) return undefined;
  const by = limit.unit === undefined ? undefined : unit(limit.unit);
  return by && metric !== 'sprayout' && metric !== 'predicted' ? toBase({ value: limit.value, unit: by }) : limit.value;
}

/** Two figures are equal when they are so to the digits that the limit is written with. */
function holds(value: Rational, operator: string, limit: Rational, { limit: written }: Expectation): boolean {
  const by = written?.unit === undefined ? undefined : unit(written.unit);
  const equal = written
    ? rational(1)
        .div(10n ** BigInt(placesOf(written.value)))
        .mul(by?.factor ?? 1)
        .div(2)
    : GREY_EQUAL;
  const order = value.compare(limit);
  switch (operator) {
    case '<=':
      return order <= 0;
    case '>=':
      return order >= 0;
    case '<':
      return order < 0;
    case '>':
      return order > 0;
    default:
      return value.sub(limit).abs().compare(equal) <= 0;
  }
}

/** Nothing for what is not computed here. */
function figureFor(
  book: Book,
  cell: EntryCell,
  one: Expectation,
  hidingOf: (book: Book, cell: EntryCell) => Hiding | Unpredicted,
): Figure | undefined {
  const recipe = recipeIn(book, cell);
  if (recipe.missingParent !== undefined) return { open: withoutParent(recipe.missingParent) };
  const written = one.limit?.unit === undefined ? undefined : unit(one.limit.unit);
  if (one.grey && one.metric !== 'grey') return { unit: `the grey ${one.grey.text}` };
  switch (one.metric) {
    case 'sprayout':
      return sprayoutFigure(book, cell, recipe, one);
    case 'total':
      return totalFigure(recipe, written);
    case 'share':
      return shareFigure(recipe, one.toner ?? '', written);
    case 'pour':
      return pourFigure(book, recipe, one.toner ?? '', written);
    case 'voc':
      return vocFigure(book, recipe, written);
    case 'cost':
      return costFigure(book, recipe, written);
    case 'grey':
      if (!one.grey) return { unit: written?.symbol ?? 'a bare number' };
      return bestGreyFigure(hidingOf(book, cell));
    case 'predicted':
      return predictedFigure(book, cell, recipe, one);
    case 'coats':
      if (written) return { unit: written.symbol };
      return coatsFigure(hidingOf(book, cell));
    default:
      return undefined;
  }
}
