/**
 * What an entry says, without how it is laid out: comments, blanks and the order of lines whose order means nothing leave it as it is.
 * The order of toner lines is the order of pouring and does count.
 */
import type { Line, Value } from '../../grammar/tree.ts';
import type { EntryCell } from '../book/cell.ts';

/** Words whose lines stand in an order that matters; a `coat` line opens the toner lines below it. */
export const ORDERED: ReadonlySet<string> = new Set(['toner', 'coat', 'without', 'poured', 'tinted']);

export interface Reading {
  /** False leaves out the entry's own id, to recognise a renaming. */
  readonly withId?: boolean;
  /** What a value that names another entry is called now; nothing when it kept its name. */
  readonly renamed?: (value: Value) => string | undefined;
}

/** A text that two entries share when they say the same. */
export function meaningOf(cell: EntryCell, reading: Reading = {}): string {
  const { entry } = cell;
  const ordered: string[] = [];
  const others: string[] = [];
  for (const line of entry.lines) (ORDERED.has(line.word) ? ordered : others).push(lineMeaning(cell, line, reading));
  const head = entry.head ? lineMeaning(cell, entry.head, reading) : '';
  return [entry.kind ?? '?', head, ...others.sort(), ...ordered].join('\n');
}

/** A line's word, literal words and values; 41.2 and 41.20 are the same number. A line that was not read to its end is told as written. */
export function lineMeaning(cell: EntryCell, line: Line, { withId = true, renamed }: Reading = {}): string {
  if (!line.whole)
    return `${line.word} (not read) ${cell.slice.text.slice(line.from, line.to).trim().replace(/\s+/g, ' ')}`;
  const values = line.values
    .filter((value) => withId || (value.place !== 'id' && value.type !== 'new'))
    .map((value) => `${value.place}=${renamed?.(value) ?? valueMeaning(value)}`);
  return [line.word, ...line.words.map((word) => word.text), ...values].join(' ');
}

function valueMeaning({ type, text, unit }: Value): string {
  if (type === 'text' || type === 'new' || type === 'ref' || type === 'name') return text.normalize('NFC');
  const plain = type === 'numbers' ? text.trim().split(/\s+/).map(plainNumber).join(' ') : plainNumber(text);
  return plain + (unit ?? '');
}

const plainNumber = (text: string): string => (/^[+-]?\d+\.\d+$/.test(text) ? text.replace(/\.?0+$/, '') : text);
