/**
 * What an entry says, without how it is laid out: comments, blanks and the order of lines whose order means nothing leave it as it is.
 * The order of toner lines is the order of pouring and does count.
 */
import type { Entry, Line } from '../../grammar/tree.ts';

/** Words whose lines stand in an order that matters; a `coat` line opens the toner lines below it. */
const ORDERED = new Set(['toner', 'coat', 'without', 'poured', 'tinted']);

/** A text that two entries share when they say the same. `withId` false leaves out the entry's own id, to recognise a renaming. */
export function meaningOf(entry: Entry, withId = true): string {
  const ordered: string[] = [];
  const others: string[] = [];
  for (const line of entry.lines) (ORDERED.has(line.word) ? ordered : others).push(lineMeaning(line));
  return [entry.kind ?? '?', entry.head ? lineMeaning(entry.head, withId) : '', ...others.sort(), ...ordered].join(
    '\n',
  );
}

/** A line's word, literal words and values; 41.2 and 41.20 are the same number. */
export function lineMeaning(line: Line, withId = true): string {
  const values = line.values
    .filter((value) => withId || value.place !== 'id')
    .map(
      (value) =>
        `${value.place}=${value.type === 'text' || value.type === 'new' || value.type === 'ref' ? value.text : plainNumber(value.text)}${value.unit ?? ''}`,
    );
  return [line.word, ...line.words.map((word) => word.text), ...values, line.whole ? '' : '(not read to its end)']
    .join(' ')
    .trim();
}

const plainNumber = (text: string): string => (/^[+-]?\d+\.\d+$/.test(text) ? text.replace(/\.?0+$/, '') : text);
