/** Greys of the undercoat scale as lightness. */
import { lightnessOfValue } from '../../paint/munsell.ts';
import type { Grey } from '../entries/written.ts';

/** L* of a grey that is written as Munsell neutral value or as L*. */
export function greyLightness(grey: Grey | undefined): number | undefined {
  if (!grey) return undefined;
  const lightness = grey.scale === 'N' ? lightnessOfValue(grey.value) : grey.value;
  return lightness >= 0 && lightness <= 100 ? lightness : undefined;
}
