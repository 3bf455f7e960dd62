/** One entry laid open, for a terminal. */
import type { ShowAnswer } from '../../answers/show.ts';
import { batchText } from './batch.ts';
import { formulaText } from './show-formula.ts';
import { instrumentText } from './show-instrument.ts';
import { readingText } from './show-reading.ts';

export function showText(answer: ShowAnswer): string {
  if ('inCup' in answer) return batchText(answer);
  if ('calibrations' in answer) return instrumentText(answer);
  return 'toners' in answer ? formulaText(answer) : readingText(answer);
}
