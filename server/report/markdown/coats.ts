/** Coats against grey of a formula as a picture in a hover, which has no colours of its own to draw with. */
import { coatsChart } from '../../answers/coats-chart.ts';
import { Unanswerable } from '../../answers/subject.ts';
import type { Book } from '../../book/book.ts';
import type { EntryCell } from '../../book/cell.ts';
import { coatsSvg } from '../svg/coats.ts';

/** Reads on light and dark ground alike. */
const INK = '#808080';

/** undefined when nothing is predicted of the formula. */
export function coatsPicture(book: Book, cell: EntryCell): string | undefined {
  try {
    const svg = coatsSvg(coatsChart(book, cell)).replace('<svg ', `<svg width="480" height="260" color="${INK}" `);
    return `![coats to hide against the grey below, predicted](data:image/svg+xml;base64,${base64(svg)})`;
  } catch (error) {
    if (error instanceof Unanswerable) return undefined;
    throw error;
  }
}

function base64(text: string): string {
  let bytes = '';
  for (const byte of new TextEncoder().encode(text)) bytes += String.fromCharCode(byte);
  return btoa(bytes);
}
