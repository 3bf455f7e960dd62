import { nearest } from '../../../grammar/nearest.ts';
import { ILLUMINANTS } from '../../colour/illuminants.ts';
import { viewingOf } from '../entries/shop.ts';
import { type Check, finding, writing } from './check.ts';

export const illuminantUnknown: Check = {
  pages: [
    {
      code: 'illuminant-unknown',
      title: 'An unknown illuminant or observer',
      text: `Illuminant and observer are written as one, D65/10. The observers are 10 (CIE 1964) and 2 (CIE 1931); the illuminants known here are ${ILLUMINANTS.join(', ')}.`,
    },
  ],
  in: 'every entry',
  acrossFiles: false,
  *find(_book, cell) {
    for (const line of cell.entry.lines) {
      for (const value of line.values) {
        if (value.type !== 'viewing' || viewingOf(value.text)) continue;
        const [light = '', observer = '10'] = value.text.split('/');
        const known = nearest(light, ILLUMINANTS);
        const right = known && `${known}/${observer}`;
        yield finding(
          'illuminant-unknown',
          'error',
          value,
          `'${value.text}' is no illuminant and observer that is known here.`,
          right ? `Did you mean ${right}?` : `Write one of ${ILLUMINANTS.join(', ')} with /10 or /2, as in D65/10.`,
          right ? { fixes: [writing(value, right)] } : {},
        );
      }
    }
  },
};
