/** What a check is. Each lives in a file of its own with its page of the manual; index.ts lists them. */
import type { Finding } from '../../../grammar/finding.ts';
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
  readonly in: readonly EntryKind[];
  /** It reads other entries, so it waits until the whole book is there. */
  readonly acrossFiles: boolean;
  readonly find: (book: Book, cell: EntryCell) => Iterable<Finding>;
}
