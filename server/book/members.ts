/** A set of entries under one name. Reading it is recorded even while it is empty: when something appears, the readers are told. */
import type { EntryCell } from './cell.ts';
import { Input } from './facts.ts';

export class Members {
  private readonly cells = new Set<EntryCell>();
  private readonly version = new Input(0);
  private ordered: readonly EntryCell[] | undefined;

  get(): ReadonlySet<EntryCell> {
    this.version.get();
    return this.cells;
  }

  peek(): ReadonlySet<EntryCell> {
    return this.cells;
  }

  /** In an order that stays until something is told: where many share a name, each of them asks for it. */
  inOrder(order: (cells: EntryCell[]) => readonly EntryCell[]): readonly EntryCell[] {
    this.version.get();
    this.ordered ??= order([...this.cells]);
    return this.ordered;
  }

  add(cell: EntryCell): void {
    if (this.cells.has(cell)) return;
    this.cells.add(cell);
    this.tell();
  }

  delete(cell: EntryCell): void {
    if (this.cells.delete(cell)) this.tell();
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
