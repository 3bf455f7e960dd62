import type { Finding } from '../../../grammar/finding.ts';
import type { Line } from '../../../grammar/tree.ts';
import { convert } from '../../exact/quantity.ts';
import { decimal, placesOf, type Rational, roundToStep } from '../../exact/rational.ts';
import { isMetric, unit } from '../../exact/units.ts';
import type { Book } from '../book.ts';
import type { EntryCell } from '../cell.ts';
import { quantityIn } from '../entries/written.ts';
import { batchIn, scaleNamed, shopOf } from '../known.ts';
import { type Check, finding } from './check.ts';

export const weightFine: Check = {
  pages: [
    {
      code: 'weight-fine',
      title: 'A weight written finer than the scale shows it',
      text: 'A scale that shows steps of 0.1 g cannot show 80.25 g. A weight that is wanted should be one that can be weighed; a weight that was read off the scale cannot have been shown like this, so either a figure slipped or another scale was used (say which one with `scale` in the batch). Pounds and ounces are converted and not held to the step. On a sheet the running column is rounded to the step and every pour is the difference of two running figures, so that the total is exact at the nearest weight that can be weighed and no pour is off by a whole step; a figure halfway between two steps goes to the larger one.',
    },
  ],
  in: ['formula', 'variant', 'batch'],
  acrossFiles: true,
  *find(book, cell) {
    const step = stepFor(book, cell);
    for (const line of cell.entry.lines) yield* tooFine(line, step);
  },
};

/** Which place of a line is a weight, and whether it is wanted or was read. */
const WEIGHTS: Readonly<Record<string, readonly ['wanted' | 'read', ...string[]]>> = {
  target: ['wanted', 'weight'],
  make: ['wanted', 'weight'],
  poured: ['read', 'grams', 'running'],
  tinted: ['read', 'grams'],
};

function stepFor(book: Book, cell: EntryCell): Rational {
  const scale = cell.entry.kind === 'batch' ? batchIn(book, cell).scale : undefined;
  return (scale !== undefined && scaleNamed(book, scale)?.step) || shopOf(book).step;
}

function* tooFine(line: Line, step: Rational): Generator<Finding> {
  const [use, ...places] = WEIGHTS[line.word] ?? [];
  for (const place of places) {
    const quantity = quantityIn(line, place, 'mass');
    const at = line.values.find((value) => value.place === place);
    if (!quantity || !at || !isMetric(quantity.unit)) continue;
    const grams = convert(quantity, unit('g')!).value;
    const weighable = roundToStep(grams, step);
    if (weighable.equals(grams)) continue;
    const shown = `${decimal(weighable, placesOf(step))} g`;
    const finest = `${decimal(step, placesOf(step))} g`;
    yield use === 'wanted'
      ? finding(
          'weight-fine',
          'warning',
          at,
          `The scale shows steps of ${finest} and cannot show this weight.`,
          `Write ${shown}, or weigh it on a finer scale.`,
          weighable.compare(0) > 0
            ? { fixes: [{ title: `Write ${shown}`, edits: [{ from: at.from, to: at.to, text: shown }] }] }
            : {},
        )
      : finding(
          'weight-fine',
          'warning',
          at,
          `A scale that shows steps of ${finest} cannot have shown this weight.`,
          "Write what it showed; if a finer scale was used, name it with a 'scale' line.",
        );
  }
}
