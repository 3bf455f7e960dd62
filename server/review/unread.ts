/** Lines of the new version that cannot be read, and could be in the old one or were not there: what they say is in no figure. */
import type { EntryCell } from '../book/cell.ts';
import { type EntryChange, keyOf } from './changes.ts';
import type { Place, Version } from './versions.ts';

export interface UnreadLine extends Place {
  /** `formula SAM-31`; null where not even the head can be read. */
  readonly entry: string | null;
  /** As it is written, blanks aside. */
  readonly text: string;
  readonly problem: string;
}

/** By the names of entries; under nothing those of which not even the head can be read. */
export type Unread = ReadonlyMap<string, readonly UnreadLine[]>;

export const hasUnread = (cell: EntryCell): boolean => cell.entry.findings.some(({ severity }) => severity === 'error');

/** @param before and `now` hold at least the entries of the versions that have lines which cannot be read. */
export function unreadLines(
  before: Iterable<EntryCell>,
  after: Version,
  now: Iterable<EntryCell>,
  changes: readonly EntryChange[],
): Unread {
  const found = new Map<string, UnreadLine[]>();
  let known: ReadonlySet<string> | undefined;
  for (const cell of now) {
    if (!hasUnread(cell)) continue;
    known ??= linesKnown(
      before,
      new Map(changes.flatMap((one) => (one.is === 'renamed' ? [[one.from, one.name]] : []))),
    );
    const key = keyOf(cell) ?? '';
    const lines = linesIn(cell).filter(({ text }) => !known!.has(`${key}\n${text}`));
    if (lines.length === 0) continue;
    const entry = key === '' ? null : entryName(cell, key);
    const placed = lines.map(({ from, text, problem }) => ({ ...after.placeOf(cell, from), entry, text, problem }));
    found.set(key, [...(found.get(key) ?? []), ...placed]);
  }
  return found;
}

export const allUnread = (unread: Unread): UnreadLine[] =>
  [...unread.values()].flat().sort((a, b) => (a.file === b.file ? a.line - b.line : a.file < b.file ? -1 : 1));

const entryName = ({ entry }: EntryCell, key: string): string =>
  `${entry.kind} ${key.slice(key.indexOf(':') + 1)}`.trimEnd();

function linesKnown(before: Iterable<EntryCell>, renamed: ReadonlyMap<string, string>): ReadonlySet<string> {
  const known = new Set<string>();
  for (const cell of before) {
    if (!hasUnread(cell)) continue;
    const key = keyOf(cell) ?? '';
    for (const { text } of linesIn(cell)) known.add(`${renamed.get(key) ?? key}\n${text}`);
  }
  return known;
}

interface Found {
  readonly from: number;
  readonly text: string;
  readonly problem: string;
}

/** The first finding of a line speaks for it. */
function linesIn({ entry, slice }: EntryCell): Found[] {
  const lines = new Map<number, Found>();
  for (const { severity, from, problem } of entry.findings.toSorted((a, b) => a.from - b.from)) {
    const start = slice.text.lastIndexOf('\n', from - 1) + 1;
    if (severity !== 'error' || lines.has(start)) continue;
    const end = slice.text.indexOf('\n', start);
    const text = slice.text
      .slice(start, end < 0 ? undefined : end)
      .trim()
      .replace(/\s+/g, ' ');
    lines.set(start, { from, text, problem });
  }
  return [...lines.values()];
}
