import { lineOf, value } from '../../../grammar/tree.ts';
import { settledHiding } from '../optics/hiding.ts';
import { type Check, finding, writing } from './check.ts';

/** Coats that another grey would save before it is worth a word: whole coats are sprayed. */
const A_COAT = 1;

export const undercoatCostly: Check = {
  pages: [
    {
      code: 'undercoat-costly',
      title: 'A grey that costs a coat or more',
      text: 'Over another grey the colour is predicted to hide with at least one coat less. The grey that hides soonest is computed from the spectra of the toners and is often not as light as the colour itself: a transparent red of L* 36 may want a grey of L* 74. It is a prediction; spray a card over both greys before the formula is changed.',
    },
  ],
  in: ['formula', 'variant'],
  acrossFiles: true,
  *find(_book, cell) {
    const line = lineOf(cell.entry, 'undercoat');
    const at = value(line, 'grey') ?? value(line, 'formula');
    const hiding = settledHiding(cell);
    const { named, best } = hiding ?? {};
    if (!line || !at || !hiding || hiding.relative || !named || !best || best.coats === null) return;
    if (named.coats !== null && named.coats - best.coats < A_COAT) return;
    const grey = `N${Number(best.munsellValue.toFixed(1))}`;
    const here = named.coats === null ? 'does not hide in 60 coats' : `needs about ${named.coats.toFixed(1)} coats`;
    yield finding(
      'undercoat-costly',
      'info',
      at,
      `Over ${named.words} the ${hiding.coat === 'ground' ? 'ground' : 'colour'} ${here}, predicted; over ${grey} about ${best.coats.toFixed(1)}.`,
      `Consider ${named.formula === undefined ? grey : `an undercoat of grey ${grey}`}, and spray a card over both.`,
      named.formula === undefined ? { fixes: [writing(at, grey)] } : {},
    );
  },
};
