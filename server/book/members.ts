/** A set of entries under one name. Reading it is recorded even while it is empty: when something appears, the readers are told. */
import type { EntryCell } from './cell.ts';
import { Input } from './facts.ts';

/** Most names that are asked for are used by nothing. */
const NOBODY: ReadonlySet<EntryCell> = new Set();

const NO_CELLS: readonly EntryCell[] = [];

export class Members {
  private cells: Set<EntryCell> | undefined;
  private readonly version = new Input(0);
  private ordered: readonly EntryCell[] | undefined;

  get(): ReadonlySet<EntryCell> {
    this.version.get();
    return this.cells ?? NOBODY;
  }

  peek(): ReadonlySet<EntryCell> {
    return this.cells ?? NOBODY;
  }

  /** In an order that stays until something is told: where many share a name, each of them asks for it. */
  inOrder(order: (cells: EntryCell[]) => readonly EntryCell[]): readonly EntryCell[] {
    this.version.get();
    this.ordered ??= this.cells ? order([...this.cells]) : NO_CELLS;
    return this.ordered;
  }

  add(cell: EntryCell): void {
    this.cells ??= new Set();
    if (this.cells.has(cell)) return;
    this.cells.add(cell);
    this.tell();
  }

  delete(cell: EntryCell): void {
    if (this.cells?.delete(cell)) this.tell();
  }

  /** The same entries, but one of them has another name or another place. */
  tell(): void {
    this.ordered = undefined;
    this.version.set(this.version.peek() + 1);
  }
}

/** Members by key, made when first asked for. */
export class MemberIndex<K extends string> {
  private readonly byKey = new Map<K, Members>();

  at(key: K): Members {
    let members = this.byKey.get(key);
    if (!members) {
      members = new Members();
      this.byKey.set(key, members);
    }
    return members;
  }

  entries(): Iterable<[K, Members]> {
    return this.byKey;
  }
}
