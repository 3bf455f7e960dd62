/** Where the mixture of an undercoat grey comes from: a measured step, or computed between two of them. */
import type { Line, Value } from '../../grammar/tree.ts';
import type { Book } from '../book/book.ts';
import type { EntryCell } from '../book/cell.ts';
import type { Undercoat, UndercoatStep } from '../book/entries/toner.ts';
import { type Grey, greyIn, greyNamed, isOnScale } from '../book/entries/written.ts';
import { undercoatIn, undercoatNamed } from '../book/known.ts';
import { type Derivation, lineStep, type Step } from './derivation.ts';
import { plain } from './plain.ts';
import { type GreyRecipe, greyFigures, greyRecipe, lightnessOf } from './undercoat.ts';

export const GREY_FIGURES: readonly string[] = ['grey N5', 'grey "L* 51"'];

export function whyGrey(book: Book, cell: EntryCell, [word, ...rest]: readonly string[]): Derivation | undefined {
  const grey = word === 'grey' ? greyNamed(rest.join(' ')) : undefined;
  return grey && ofGrey(book, cell, grey);
}

/** Of a grey in an undercoat's own line. */
export function greyLine(book: Book, cell: EntryCell, line: Line, value: Value): Derivation | undefined {
  const grey = line.word === 'grey' && value.place === 'grey' ? greyIn(line) : undefined;
  return grey && ofGrey(book, cell, grey);
}

function ofGrey(book: Book, cell: EntryCell, grey: Grey): Derivation {
  const { code } = undercoatIn(book, cell);
  const { mixture, ...told } = greySteps(book, code, grey);
  const value = mixture?.toners.map((toner) => `${toner.code} ${plain(toner.parts)}`).join(', ');
  return { figure: `grey ${grey.text} of ${code}`, value: value ?? 'not to be mixed', ...told };
}

interface GreySteps {
  readonly mixture: GreyRecipe | undefined;
  readonly basis: 'measured' | 'computed';
  readonly steps: readonly Step[];
}

/** The grey on both scales, its mixture, and the measured greys that it was made from. */
export function greySteps(book: Book, undercoatId: string, grey: Grey): GreySteps {
  const mixture = greyRecipe(book, undercoatId, grey);
  if (typeof mixture === 'string' && !isOnScale(grey))
    return { mixture: undefined, basis: 'computed', steps: [{ text: mixture }] };
  const { value, lightness } = greyFigures(grey);
  const steps: Step[] = [{ text: `Munsell N${value.toFixed(2)} is L* ${lightness.toFixed(2)} (ASTM D1535)` }];
  if (typeof mixture === 'string')
    return { mixture: undefined, basis: 'computed', steps: [...steps, { text: mixture }] };
  steps.push({
    text: `${mixture.toners.map((toner) => `${toner.code} ${plain(toner.parts)}`).join(', ')}: ${BASIS[mixture.basis]}`,
  });
  const cell = book.find('undercoat', undercoatId);
  const undercoat = undercoatNamed(book, undercoatId);
  if (cell && undercoat)
    for (const { line } of stepsBeside(undercoat, lightness, mixture.basis)) steps.push(lineStep({ cell, line }));
  return { mixture, basis: mixture.basis === 'measured' ? 'measured' : 'computed', steps };
}

const BASIS: Readonly<Record<GreyRecipe['basis'], string>> = {
  measured: 'a measured step, as listed',
  interpolated:
    'computed between the measured greys on both sides, whose K/S mixes by two-flux theory with the scattering of the dark end that they show',
  assumed:
    'computed between the two ends by two-flux theory; no grey between them is measured, so how much the dark end scatters is assumed: spray it and enter it as a grey',
};

/** The step itself, or the nearest one on either side; of an assumed mixture these are its ends. */
function stepsBeside({ steps }: Undercoat, lightness: number, basis: GreyRecipe['basis']): UndercoatStep[] {
  const by = (step: UndercoatStep) => lightnessOf(step.grey) - lightness;
  if (basis === 'measured') return steps.filter((step) => Math.abs(by(step)) < 1e-6).slice(0, 1);
  const lighter = steps.filter((step) => by(step) > 0).sort((a, b) => by(a) - by(b))[0];
  const darker = steps.filter((step) => by(step) < 0).sort((a, b) => by(b) - by(a))[0];
  return [lighter, darker].filter((step) => step !== undefined);
}
