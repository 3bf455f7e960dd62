/** Coats that a formula is predicted to need over its undercoat, and the grey over which it needs fewest. */
import { type Rational, rational } from '../../exact/rational.ts';
import { valueOfLightness } from '../../paint/munsell.ts';
import type { Grey } from '../entries/written.ts';
import type { Hiding } from '../optics/hiding.ts';
import type { Unpredicted } from '../optics/predicted.ts';
import type { Figure } from './expected-bench.ts';

export function coatsFigure(hiding: Hiding | Unpredicted): Figure {
  if ('none' in hiding) return { open: hiding.none, lacks: 'prediction' };
  const { named, relative } = hiding;
  if (!named) return { open: 'the formula names no undercoat of which the colour is known' };
  if (relative)
    return {
      open: 'coats compare with each other only, since no film of known thickness was read',
      lacks: 'prediction',
    };
  if (named.coats === null)
    return { value: rational(NEVER), told: `the colour is predicted not to hide ${named.words} in 60 coats` };
  return {
    value: rational(named.coats.toFixed(2)),
    told: `the colour is predicted to need about ${named.coats.toFixed(1)} coats over ${named.words}`,
  };
}

/** More coats than anyone sprays. */
const NEVER = 1000;

/** By its Munsell value. */
export function bestGreyFigure(hiding: Hiding | Unpredicted): Figure {
  if ('none' in hiding) return { open: hiding.none, lacks: 'prediction' };
  const { best } = hiding;
  if (!best) return { open: 'the colour is predicted to hide over no grey' };
  const value = Number(best.munsellValue.toFixed(1));
  return {
    value: rational(value.toFixed(1)),
    told: `the grey that hides soonest is predicted to be N${value} (L* ${best.lightness.toFixed(0)})`,
  };
}

export const greyLimit = ({ scale, value }: Grey): Rational | undefined =>
  value < 0 || value > 100 ? undefined : rational((scale === 'N' ? value : valueOfLightness(value)).toFixed(4));

/** The best grey is looked for on half steps, so that it is equal to whatever is nearer to it than to the next. */
export const GREY_EQUAL = rational('0.25');
