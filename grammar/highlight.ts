/** The spans of an entry with what they are, for semantic highlighting; in order, without overlap, none over a line end. */
import { flatten } from './place.ts';
import type { Entry, Line, Span, Value } from './tree.ts';
import type { EntryKind, Row } from './words.ts';

export type HighlightKind = 'word' | 'definition' | 'reference' | 'number' | 'unit' | 'text' | 'literal' | 'comment';

export interface Highlight extends Span {
  readonly kind: HighlightKind;
  /** The kind of entry that an id names or begins. */
  readonly names?: EntryKind;
}

export function highlights(text: string, entry: Entry): Highlight[] {
  const found: Highlight[] = [];
  for (const line of entry.head ? [entry.head, ...entry.lines] : entry.lines) ofLine(text, line, found);
  for (const comment of entry.comments) {
    const from = text.indexOf('#', comment.from);
    found.push({ from, to: comment.to, kind: 'comment' });
  }
  return found.sort((a, b) => a.from - b.from);
}

function ofLine(text: string, line: Line, found: Highlight[]): void {
  if (line.row) found.push({ ...line.wordSpan, kind: 'word' });
  for (const word of line.words) found.push({ from: word.from, to: word.to, kind: 'literal' });
  for (const value of line.values) ofValue(text, line.row, value, found);
  if (line.comment) found.push({ ...line.comment, kind: 'comment' });
}

function ofValue(text: string, row: Row | undefined, value: Value, found: Highlight[]): void {
  const { from, to } = value;
  switch (value.type) {
    case 'new':
    case 'ref': {
      const names = row && namedBy(row, value.place);
      found.push({ from, to, kind: value.type === 'new' ? 'definition' : 'reference', ...(names ? { names } : {}) });
      return;
    }
    case 'text':
    case 'name':
      found.push({ from, to, kind: 'text' });
      return;
    case 'numbers':
      // A list may go over several lines with comments between; each number is a span of its own.
      for (const atom of text.slice(from, to).matchAll(/#[^\n]*|[^\s#]+/g))
        if (atom[0][0] !== '#')
          found.push({ from: from + atom.index, to: from + atom.index + atom[0].length, kind: 'number' });
      return;
    case 'quantity':
    case 'measure':
      if (!value.unitSpan) found.push({ from, to, kind: 'number' });
      else {
        const number = /^\S+/.exec(text.slice(from, to))![0];
        found.push({ from, to: from + number.length, kind: 'number' }, { ...value.unitSpan, kind: 'unit' });
      }
      return;
    case 'number':
    case 'signed':
    case 'delta':
    case 'count':
    case 'range':
      found.push({ from, to, kind: 'number' });
      return;
    default:
      found.push({ from, to, kind: 'literal' });
  }
}

function namedBy(row: Row, name: string): EntryKind | undefined {
  for (const place of flatten(row.places)) {
    if (place.is === 'value' && place.name === name) return place.args[0] as EntryKind | undefined;
  }
  return undefined;
}
