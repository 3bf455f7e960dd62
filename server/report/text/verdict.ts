/** What differs in words, then the verdict by the book's tolerances. */
import type { BookVerdict } from '../../answers/verdict.ts';
import { sentence } from './figures.ts';

export function verdictText(differs: string, verdict: BookVerdict | null): string[] {
  const words = differs === 'no clear direction' ? 'no direction that is worth telling' : differs;
  const lines = words === '' ? [] : [sentence(words)];
  return verdict ? [...lines, `${verdict.sentence} Judged under ${verdict.illuminant}/${verdict.observer}.`] : lines;
}
