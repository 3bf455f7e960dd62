import { lineOf, value } from '../../../grammar/tree.ts';
import { plainDecimal } from '../../exact/plain.ts';
import { decimal, larger, placesOf } from '../../exact/rational.ts';
import { chooseScale } from '../../paint/scales.ts';
import { cupIn, isProblem } from '../cup.ts';
import { batchIn, scaleNamed, shopOf } from '../known.ts';
import { scalesOf } from '../scales.ts';
import { appended, type Check, finding, headOf } from './check.ts';

export const scaleLoad: Check = {
  pages: [
    {
      code: 'scale-load',
      title: 'A batch too heavy for its scale',
      text: 'A scale carries so much, cup included (`capacity 2 kg` of a scale, `scale 0.1 g capacity 3 kg` of the bench scale). Beyond that it shows nothing, or something wrong. The weight of the cup is not known, so the paint alone is compared: leave room for the cup, and for hardener and reducer. The finest scale of the book that carries the paint is named.',
    },
  ],
  in: ['batch'],
  acrossFiles: true,
  *find(book, cell) {
    const batch = batchIn(book, cell);
    const id = batch.scale;
    const capacity = id === undefined ? shopOf(book).capacity : scaleNamed(book, id)?.capacity;
    const cup = batch.closed || !capacity ? undefined : cupIn(book, cell);
    if (!capacity || !cup || isProblem(cup)) return;
    const load = larger(cup.target, cup.content.inCup);
    if (load.lte(capacity)) return;
    const other = chooseScale(scalesOf(book), load);
    const at = value(lineOf(cell.entry, 'scale'), 'scale');
    yield finding(
      'scale-load',
      'warning',
      at ?? value(lineOf(cell.entry, 'make'), 'weight') ?? headOf(cell.entry),
      `${id ?? 'The bench scale'} carries ${plainDecimal(capacity)} g; this batch is ${decimal(load, placesOf(cup.step))} g without its cup.`,
      other ? `Weigh it on ${other.name}, or make less.` : 'Make it in two cups.',
      other
        ? {
            fixes: [
              {
                title: `Weigh it on ${other.name}`,
                edits: [at ? { from: at.from, to: at.to, text: other.name } : appended(cell, `scale ${other.name}`)],
              },
            ],
          }
        : {},
    );
  },
};
