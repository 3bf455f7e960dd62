import type { Finding } from '../../../grammar/finding.ts';
import { difference, isMetric, type Metric } from '../../colour/difference.ts';
import { viewingText } from '../../colour/viewing.ts';
import { toBase } from '../../exact/quantity.ts';
import { placesOf, type Rational, rational } from '../../exact/rational.ts';
import { unit } from '../../exact/units.ts';
import { lightnessOfValue } from '../../paint/munsell.ts';
import type { Book } from '../book.ts';
import { currentCard } from '../cards.ts';
import type { EntryCell } from '../cell.ts';
import { angleAt, anglesInCommon, coloursIn, labOf } from '../colours.ts';
import type { Expectation } from '../entries/formula.ts';
import { viewingOf } from '../entries/shop.ts';
import type { Grey } from '../entries/written.ts';
import { formulaIn, shopOf } from '../known.ts';
import { settledHiding } from '../optics/hiding.ts';
import { predictedIn } from '../optics/predicted.ts';
import { type Recipe, recipeIn } from '../recipe.ts';
import { type Check, finding, listed } from './check.ts';
import {
  BENCH_UNITS,
  costFigure,
  type Figure,
  pourFigure,
  shareFigure,
  totalFigure,
  vocFigure,
} from './expected-bench.ts';

export const expectation: Check = {
  pages: [
    {
      code: 'expectation-fails',
      title: 'A stated fact does not hold',
      text: '`expect` states a fact about the formula that is checked like a test: `expect sprayout worst <= 1.0 dE00`, `expect share BLK-1 < 2 %`, `expect pour BLK-1 >= 2 g`, `expect predicted worst <= 2 dE00`, `expect coats <= 3`, `expect total = 100`, `expect grey = N5`, `expect voc <= 420 g/l`, `expect cost <= 30 EUR/kg`. The figure is told as it is. Correct the formula, or the expectation. The VOC is the figure that the limit of the book is for (actual, less water, or less water and exempt, by its `voc` line; less water where it names no limit), of the paint ready to spray: with the hardener of its system and, where the booth chooses between reducers, with the one that gives most, since a stated fact has to hold in every booth. Where the system adds nothing it is of the paint as poured; of a colour of several coats it is the coat that gives most, or, where the limit counts a topcoat of several stages as one, all of them with the clear coat. It is arithmetic and no clearance to spray. The cost is of the paint as poured, all coats together, without hardener, reducer and undercoat: of a kilogram (`EUR/kg`) or litre (`EUR/l`), or of the target (`EUR`).',
    },
    {
      code: 'expectation-open',
      title: 'A stated fact that cannot be checked yet',
      text: 'What the expectation asks for is not there: no card shows the formula as it is now, the formula has no standard, target weight or undercoat, the angle was not read, or a toner lacks its price or a figure of its VOC. It neither holds nor fails.',
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
  const figure = figureFor(book, cell, one);
  const limit = limitOf(one);
  if (!figure || !limit) return undefined;
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
  if (holds(figure.value, one.operator, limit, one)) return undefined;
  return finding(
    'expectation-fails',
    'warning',
    at,
    `This does not hold: ${figure.told}.`,
    'Correct the formula, or what is expected of it.',
  );
}

/** Does a stated fact hold? `open` where it cannot be told, or is not computed. */
export function standingOf(
  book: Book,
  cell: EntryCell,
  one: Expectation,
): { is: 'holds' | 'fails' | 'open'; told: string } {
  const figure = figureFor(book, cell, one);
  const limit = limitOf(one);
  if (!figure || !limit) return { is: 'open', told: 'it is not computed' };
  if ('open' in figure) return { is: 'open', told: figure.open };
  if ('unit' in figure) return { is: 'fails', told: `it cannot be held against ${figure.unit}` };
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
  if (metric === 'grey') return grey && rational(lightness(grey));
  if (!limit) return undefined;
  const by = limit.unit === undefined ? undefined : unit(limit.unit);
  return by && metric !== 'sprayout' && metric !== 'predicted' ? toBase({ value: limit.value, unit: by }) : limit.value;
}

const lightness = ({ scale, value }: Grey): number => (scale === 'N' ? lightnessOfValue(value) : value);

/** Two figures are equal when they are so to the digits that the limit is written with. */
function holds(value: Rational, operator: string, limit: Rational, { limit: written }: Expectation): boolean {
  const by = written?.unit === undefined ? undefined : unit(written.unit);
  const finest = written
    ? rational(1)
        .div(10n ** BigInt(placesOf(written.value)))
        .mul(by?.factor ?? 1)
    : rational('0.05');
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
      return value.sub(limit).abs().compare(finest.div(2)) <= 0;
  }
}

/** Nothing for what is not computed here. */
function figureFor(book: Book, cell: EntryCell, one: Expectation): Figure | undefined {
  const recipe = recipeIn(book, cell);
  const written = one.limit?.unit === undefined ? undefined : unit(one.limit.unit);
  switch (one.metric) {
    case 'sprayout':
      return sprayout(book, cell, recipe, one);
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
      return grey(recipe);
    case 'predicted':
      return predicted(book, cell, recipe, one);
    case 'coats':
      if (written) return { unit: written.symbol };
      return coats(book, cell);
    default:
      return undefined;
  }
}

function grey({ undercoat }: Recipe): Figure {
  const written = undercoat?.is.grey;
  if (!written) return { open: 'the formula names no grey' };
  return { value: rational(lightness(written)), told: `the undercoat is ${written.text}` };
}

/** The unit of the CMC difference is written as the standard writes it. */
const METRICS: Readonly<Record<string, Metric>> = { dE00: 'dE00', dECMC: 'dEcmc' };

function sprayout(book: Book, cell: EntryCell, recipe: Recipe, one: Expectation): Figure {
  const metric = METRICS[one.limit?.unit ?? 'dE00'] ?? one.limit?.unit ?? '';
  if (!isMetric(metric)) return { unit: metric };
  const card = currentCard(book, cell);
  if (!card) return { open: 'no card shows the formula as it is now' };
  const standard = recipe.standard && book.find('reading', recipe.standard.is);
  if (!standard) return { open: 'the formula has no standard' };
  const viewing = one.viewing === undefined ? shopOf(book).viewings[0]! : viewingOf(one.viewing);
  if (!viewing) return { open: `${one.viewing} is not known` };
  const angles = anglesInCommon(coloursIn(book, standard), coloursIn(book, card.cell), viewing).map((pair) => ({
    geometry: pair.geometry,
    dE: difference(metric, pair.standard, pair.sample),
  }));
  if (angles.length === 0) return { open: `card and standard have no angle in common under ${viewingText(viewing)}` };
  return told(one, angles, `card ${card.card.id}`, metric);
}

function predicted(book: Book, cell: EntryCell, recipe: Recipe, one: Expectation): Figure {
  const metric = METRICS[one.limit?.unit ?? 'dE00'] ?? one.limit?.unit ?? '';
  if (!isMetric(metric)) return { unit: metric };
  const found = predictedIn(book, cell);
  if ('none' in found) return { open: `nothing is predicted, since ${found.none}` };
  const standard = recipe.standard && book.find('reading', recipe.standard.is);
  if (!standard) return { open: 'the formula has no standard' };
  const viewing = one.viewing === undefined ? shopOf(book).viewings[0]! : viewingOf(one.viewing);
  if (!viewing) return { open: `${one.viewing} is not known` };
  const read = coloursIn(book, standard);
  const angles = found.colours.flatMap((colour) => {
    const angle = viewingText(colour.viewing) === viewingText(viewing) ? angleAt(read, colour.geometry) : undefined;
    const lab = angle && labOf(angle, viewing, read.bandpass);
    return lab ? [{ geometry: colour.geometry, dE: difference(metric, lab, colour.lab) }] : [];
  });
  if (angles.length === 0)
    return { open: `nothing is predicted as the standard was read under ${viewingText(viewing)}` };
  const widest = Math.max(...found.colours.map((colour) => colour.plusMinus));
  return told(one, angles, `the colour predicted (± ${widest.toFixed(1)} dE00)`, metric);
}

function coats(book: Book, cell: EntryCell): Figure {
  const hiding = settledHiding(cell);
  if (!hiding) {
    const found = predictedIn(book, cell);
    return { open: 'none' in found ? `nothing is predicted, since ${found.none}` : 'hiding is being worked out' };
  }
  if (!hiding.named) return { open: 'the formula names no undercoat grey' };
  if (hiding.named.coats === null)
    return { value: rational(NEVER), told: 'the colour is predicted not to hide its undercoat in 60 coats' };
  return {
    value: rational(hiding.named.coats.toFixed(2)),
    told: `the colour is predicted to need about ${hiding.named.coats.toFixed(1)} coats over its undercoat`,
  };
}

/** More coats than anyone sprays. */
const NEVER = 1000;

interface AtAngle {
  readonly geometry: string;
  readonly dE: number;
}

function told(one: Expectation, angles: readonly AtAngle[], what: string, metric: Metric): Figure {
  const figure = (dE: number, where: string): Figure => ({
    value: rational(dE.toFixed(6)),
    told: `${what} is off by ${dE.toFixed(2)} ${metric} ${where}`,
  });
  if (one.geometry !== undefined) {
    const found = angles.find((angle) => angle.geometry === one.geometry);
    return found ? figure(found.dE, `at ${one.geometry}`) : { open: `${one.geometry} was not read on both` };
  }
  const worst = angles.reduce((a, b) => (b.dE > a.dE ? b : a));
  if (one.over !== 'mean') return figure(worst.dE, `at ${worst.geometry}, its worst angle`);
  const mean = angles.reduce((total, angle) => total + angle.dE, 0) / angles.length;
  return figure(
    mean,
    `in the mean of ${listed(angles.map((angle) => angle.geometry))} (at worst ${worst.dE.toFixed(2)} at ${worst.geometry})`,
  );
}
