/** One entry in its file: its text as an input, and what is read from the text alone. */
import type { Slice } from '../../grammar/cutter.ts';
import { parseEntry } from '../../grammar/parse.ts';
import type { ReadLines } from '../../grammar/read-lines.ts';
import type { Entry, Value } from '../../grammar/tree.ts';
import { idOf } from '../../grammar/tree.ts';
import { type Namespace, namespaceOf } from '../../grammar/words.ts';
import { Derived, Input } from './facts.ts';
import type { BookFile } from './file.ts';

/** The name of an entry or of what a line names: `toner:BLK-1`. */
export type Name = `${Namespace}:${string}`;

export interface Mention {
  readonly name: Name;
  readonly value: Value;
}

/** What is read of a text hangs on nothing else, so that books that share a slice read it once. */
const read = new WeakMap<Slice, Entry>();

function readOnce(slice: Slice, known: ReadLines | undefined): Entry {
  let entry = read.get(slice);
  if (!entry) {
    entry = parseEntry(slice, known);
    read.set(slice, entry);
  }
  return entry;
}

const sameSlice = (a: Slice, b: Slice): boolean => a.text === b.text && a.side === b.side;

export class EntryCell {
  private readonly source: Input<Slice>;
  private readonly tree: Derived<Entry>;
  /** What is known of the entry beside its tree, by topic; the book keeps it here. */
  readonly facts = new Map<string, Derived<unknown>>();
  lineBreaks: number;
  /** Place in the file's row when it was last counted; ask the file. */
  index = -1;

  constructor(
    readonly file: BookFile,
    slice: Slice,
    known?: ReadLines,
  ) {
    this.source = new Input(slice, sameSlice);
    this.lineBreaks = countLineBreaks(slice.text);
    this.tree = new Derived(
      () => readOnce(this.source.get(), known),
      () => ({ kind: undefined, head: undefined, lines: [], comments: [], conflicts: [], findings: [] }),
    );
  }

  /** Without recording a read. */
  get slice(): Slice {
    return this.source.peek();
  }

  set slice(slice: Slice) {
    if (slice.text !== this.slice.text) this.lineBreaks = countLineBreaks(slice.text);
    this.source.set(slice);
  }

  get entry(): Entry {
    return this.tree.get();
  }

  /** The name that the entry defines. */
  get name(): Name | undefined {
    const { entry } = this;
    const space = entry.kind && namespaceOf(entry.kind);
    const id = idOf(entry);
    return space && id !== undefined ? `${space}:${id}` : undefined;
  }

  /** Forgets what was read, so that nothing keeps this entry alive. */
  drop(): void {
    for (const fact of this.facts.values()) fact.drop();
    this.tree.drop();
  }
}

function countLineBreaks(text: string): number {
  let count = 0;
  for (let at = text.indexOf('\n'); at >= 0; at = text.indexOf('\n', at + 1)) count++;
  return count;
}
