/** What a check is. Each lives in a file of its own with its pages of the manual; index.ts lists them. */
import type { Edit, Finding, Fix, Related, Severity } from '../../../grammar/finding.ts';
import type { Entry, Line, Span } from '../../../grammar/tree.ts';
import { value } from '../../../grammar/tree.ts';
import type { EntryKind } from '../../../grammar/words.ts';
import type { Book } from '../book.ts';
import type { EntryCell } from '../cell.ts';

/** A page of the manual: what the finding means and what to do. */
export interface Page {
  readonly code: string;
  readonly title: string;
  /** A few sentences for the manual. */
  readonly text: string;
}

export interface Check {
  readonly pages: readonly Page[];
  /** Entries that it looks at. */
  readonly in: readonly EntryKind[] | 'every entry';
  /** It reads other entries, so it waits until the whole book is there. */
  readonly acrossFiles: boolean;
  readonly find: (book: Book, cell: EntryCell) => Iterable<Finding>;
}

/** A finding at a place of the entry. */
export function finding(
  code: string,
  severity: Severity,
  at: Span,
  problem: string,
  remedy: string,
  more: { readonly fixes?: readonly Fix[]; readonly related?: readonly Related[] } = {},
): Finding {
  return { code, severity, from: at.from, to: at.to, problem, remedy, ...more };
}

/** Where a finding about the whole entry stands: its id, else its word. */
export function headOf(entry: Entry): Span {
  return value(entry.head, 'id') ?? entry.head?.wordSpan ?? { from: 0, to: 0 };
}

/** A fix that puts other text in one place. */
export const writing = (at: Span, text: string): Fix => ({
  title: `Write ${text}`,
  edits: [{ from: at.from, to: at.to, text }],
});

/** A related place: the head of another entry. */
export function relatedEntry(cell: EntryCell, text: string): Related {
  const { from, to } = headOf(cell.entry);
  return { ...(cell.name ? { entry: cell.name } : {}), from, to, text };
}

/** `a`, `a and b`, `a, b and c`. */
export function listed(words: readonly string[]): string {
  if (words.length < 2) return words.join('');
  return `${words.slice(0, -1).join(', ')} and ${words.at(-1)}`;
}

/** A new line at the end of the entry, before the empty lines that follow it. */
export function appended(cell: EntryCell, line: string): Edit {
  const { text } = cell.slice;
  const at = text.trimEnd().length;
  return { from: at, to: at, text: `${text.includes('\r\n') ? '\r\n' : '\n'}  ${line}` };
}

/** Takes a line out, with its line end. */
export function removedLine(cell: EntryCell, { from, to }: Line): Edit {
  const { text } = cell.slice;
  const start = text.lastIndexOf('\n', from - 1) + 1;
  const next = text.indexOf('\n', to);
  return { from: start, to: next < 0 ? text.length : next + 1, text: '' };
}

export const quoted = (text: string): string => `"${text.replaceAll('\\', '\\\\').replaceAll('"', '\\"')}"`;
