import { linesOf } from '../../../grammar/tree.ts';
import { plainDecimal } from '../../exact/plain.ts';
import { scaleIn } from '../known.ts';
import { newestTest } from '../scales.ts';
import { type Check, finding } from './check.ts';

export const scaleOff: Check = {
  pages: [
    {
      code: 'scale-off',
      title: 'A scale that reads a test weight wrong',
      text: 'The newest test weight that was put on the scale read off by more than one step of the scale. Half a step is rounding and a little more is a draught or a cup that was touched; beyond a whole step every pour is off. That a whole step is too much is common practice; the legal limits of a verified scale are wider (EN 45501). Until it reads right again it is not offered for small pours.',
    },
  ],
  in: ['scale'],
  acrossFiles: false,
  *find(book, cell) {
    const scale = scaleIn(book, cell);
    const newest = newestTest(scale);
    if (!newest || !scale.step) return;
    const { off, within } = newest;
    const line = linesOf(cell.entry, 'tested').find((one) => one.values.some((value) => value.text === newest.when));
    if (within || !line) return;
    const by = plainDecimal(off.abs());
    yield finding(
      'scale-off',
      'warning',
      line.values.at(-1) ?? line.wordSpan,
      `The scale read ${plainDecimal(newest.shown)} g for a weight of ${plainDecimal(newest.weight)} g: ${by} g too ${off.gt(0) ? 'much' : 'little'}, more than its step of ${plainDecimal(scale.step)} g.`,
      'Level and clean the scale, let it warm up, and test it again; have it adjusted if it stays off. Do not weigh small pours on it until then.',
    );
  },
};
