/** How far the card of a formula, or its predicted colour, may be off its standard. */
import { difference, isMetric, type Metric } from '../../colour/difference.ts';
import { viewingText } from '../../colour/viewing.ts';
import { rational } from '../../exact/rational.ts';
import type { Book } from '../book.ts';
import { currentCard } from '../cards.ts';
import type { EntryCell } from '../cell.ts';
import { angleAt, anglesInCommon, coloursIn, labOf } from '../colours.ts';
import type { Expectation } from '../entries/formula.ts';
import { viewingOf } from '../entries/shop.ts';
import { shopOf } from '../known.ts';
import { predictedIn } from '../optics/predicted.ts';
import type { Recipe } from '../recipe.ts';
import { listed } from './check.ts';
import type { Figure } from './expected-bench.ts';

/** The unit of the CMC difference is written as the standard writes it. */
const METRICS: Readonly<Record<string, Metric>> = { dE00: 'dE00', dECMC: 'dEcmc' };

export function sprayoutFigure(book: Book, cell: EntryCell, recipe: Recipe, one: Expectation): Figure {
  const metric = METRICS[one.limit?.unit ?? 'dE00'] ?? one.limit?.unit ?? '';
  if (!isMetric(metric)) return { unit: metric };
  const card = currentCard(book, cell);
  if (!card) return { open: 'no card shows the formula as it is now', lacks: 'card' };
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

export function predictedFigure(book: Book, cell: EntryCell, recipe: Recipe, one: Expectation): Figure {
  const metric = METRICS[one.limit?.unit ?? 'dE00'] ?? one.limit?.unit ?? '';
  if (!isMetric(metric)) return { unit: metric };
  const found = predictedIn(book, cell);
  if ('none' in found) return { open: `nothing is predicted, since ${found.none}`, lacks: 'prediction' };
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
  if (angles.length === 1) return figure(worst.dE, `at ${worst.geometry}`);
  if (one.over !== 'mean') return figure(worst.dE, `at ${worst.geometry}, its worst angle`);
  const mean = angles.reduce((total, angle) => total + angle.dE, 0) / angles.length;
  return figure(
    mean,
    `in the mean of ${listed(angles.map((angle) => angle.geometry))} (at worst ${worst.dE.toFixed(2)} at ${worst.geometry})`,
  );
}
