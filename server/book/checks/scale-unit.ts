import { lineOf, value } from '../../../grammar/tree.ts';
import { decimal } from '../../exact/rational.ts';
import { isMetric } from '../../exact/units.ts';
import { quantityIn } from '../entries/written.ts';
import { type Check, finding } from './check.ts';

export const scaleUnit: Check = {
  pages: [
    {
      code: 'scale-unit',
      title: 'A scale that counts in pounds or ounces',
      text: 'Pours, running figures and cups are worked out and shown in grams, in the steps that the scale shows. A scale that counts in pounds or ounces shows none of these figures, so its step is not used: switch it to grams and write the step that it has then. Weights that are asked for or were poured may be written in `lb` or `oz-av` all the same; they are converted exactly (NIST Handbook 44).',
    },
  ],
  in: ['book', 'scale'],
  acrossFiles: false,
  *find(_book, { entry }) {
    const [word, place] = entry.kind === 'book' ? ['scale', 'readability'] : ['readability', 'step'];
    const line = lineOf(entry, word);
    const step = quantityIn(line, place, 'mass');
    const at = value(line, place);
    if (!step || !at || isMetric(step.unit)) return;
    const grams = decimal(step.value.mul(step.unit.factor), 3);
    yield finding(
      'scale-unit',
      'warning',
      at,
      `Pours are shown in grams, and a scale that counts in ${step.unit.symbol} shows none of their figures; its step, ${grams} g, is not used.`,
      `Switch the scale to grams and write its step then, for example '${word} 0.1 g'.`,
    );
  },
};
