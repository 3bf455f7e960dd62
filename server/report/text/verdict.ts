/** What differs in words, then the verdict by the book's tolerances. */
import type { BookVerdict } from '../../answers/verdict.ts';
import { inWords, sentence } from './figures.ts';

export function verdictText(differs: string, verdict: BookVerdict | null): string[] {
  const lines = differs === '' ? [] : [sentence(inWords(differs))];
  return verdict ? [...lines, `${verdict.sentence} Judged under ${verdict.illuminant}/${verdict.observer}.`] : lines;
}
