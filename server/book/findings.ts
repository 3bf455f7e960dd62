/** All findings of an entry: those of its syntax and those of the checks. */
import type { Finding } from '../../grammar/finding.ts';
import type { EntryKind } from '../../grammar/words.ts';
import type { Book } from './book.ts';
import type { EntryCell } from './cell.ts';
import type { Check } from './checks/check.ts';
import { checks } from './checks/index.ts';
import type { Derived } from './facts.ts';

const NONE: readonly Finding[] = [];

const byKind = new Map<EntryKind | undefined, readonly Check[]>();

function checksFor(kind: EntryKind | undefined): readonly Check[] {
  let found = byKind.get(kind);
  if (!found) {
    found = checks.filter((check) => check.in === 'every entry' || (kind && check.in.includes(kind)));
    byKind.set(kind, found);
  }
  return found;
}

export const findingsFact = (book: Book, cell: EntryCell): Derived<readonly Finding[]> =>
  book.fact(
    'findings',
    cell,
    () => compute(book, cell),
    () => NONE,
    sameFindings,
  );

export const findingsIn = (book: Book, cell: EntryCell): readonly Finding[] => findingsFact(book, cell).get();

function compute(book: Book, cell: EntryCell): readonly Finding[] {
  const { entry } = cell;
  const loaded = book.loaded.get();
  const found: Finding[] = [...entry.findings];
  for (const check of checksFor(entry.kind)) {
    if (check.acrossFiles && !loaded) continue;
    found.push(...guarded(check, book, cell));
  }
  return found.sort((a, b) => a.from - b.from || a.to - b.to || (a.code < b.code ? -1 : 1));
}

/** One check that fails must not take the others' findings with it. */
function guarded(check: Check, book: Book, cell: EntryCell): Finding[] {
  try {
    return [...check.find(book, cell)];
  } catch (error) {
    const head = cell.entry.head?.wordSpan ?? { from: 0, to: 0 };
    return [
      {
        code: 'check-failed',
        severity: 'info',
        ...head,
        problem: `The check '${check.pages[0]?.code}' could not be carried out here (${error instanceof Error ? error.message : String(error)}).`,
        remedy: 'The other findings stand. Please report this with the entry.',
      },
    ];
  }
}

function sameFindings(a: readonly Finding[], b: readonly Finding[]): boolean {
  return a.length === b.length && (a.length === 0 || JSON.stringify(a) === JSON.stringify(b));
}

export interface PlacedFinding extends Finding {
  readonly uri: string;
  /** From 0. */
  readonly line: number;
  readonly character: number;
}

/** The findings of a file with their places in it. */
export function findingsOfFile(book: Book, uri: string): PlacedFinding[] {
  const file = book.files.get(uri);
  if (!file) return [];
  return file.cells.flatMap((cell, index) =>
    findingsIn(book, cell).map((finding) => ({ ...finding, uri, ...file.positionOf(index, finding.from) })),
  );
}
