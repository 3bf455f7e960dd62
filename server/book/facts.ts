/**
 * Incremental facts: what is known is an input or is computed from other facts, and every computation records what it read. Changing an
 * input marks what hangs on it as doubtful, without computing anything; asking a doubtful fact first asks its sources, and computes only
 * when one of them really became another (early cut-off). So a keystroke costs what it changes, whatever the size of the book.
 *
 * Watched facts are queued when they become doubtful and looked at later, in slices, the open file first; a general signals library
 * runs its effects at once, which would make a change of a book-wide setting block the typing.
 */
enum State {
  Known,
  /** A source of a source has changed; perhaps nothing comes of it. */
  Doubtful,
  Stale,
}

let reader: Derived<unknown> | undefined;

export type Equal<T> = (a: T, b: T) => boolean;

const same = Object.is as Equal<unknown>;

abstract class Fact<T> {
  protected held!: T;
  /** Made for the first one: most facts of a large book are read by none or one. */
  private readers: Set<Derived<unknown>> | undefined;
  abstract get(): T;
  /** Brings the value up to date without recording a read. */
  abstract settle(): void;

  protected recordRead(): void {
    if (reader && !reader.sources.has(this as Fact<unknown>)) {
      reader.sources.add(this as Fact<unknown>);
      this.readers ??= new Set();
      this.readers.add(reader);
    }
  }

  protected tellReaders(state: State): void {
    if (this.readers) for (const one of this.readers) one.mark(state);
  }

  leave(one: Derived<unknown>): void {
    this.readers?.delete(one);
  }
}

export class Input<T> extends Fact<T> {
  constructor(
    value: T,
    private readonly equal: Equal<T> = same,
  ) {
    super();
    this.held = value;
  }

  get(): T {
    this.recordRead();
    return this.held;
  }

  /** The value without recording a read: for bookkeeping that changes the same input. */
  peek(): T {
    return this.held;
  }

  set(value: T): void {
    if (this.equal(this.held, value)) return;
    this.held = value;
    this.tellReaders(State.Stale);
  }

  settle(): void {}
}

export class Derived<T> extends Fact<T> {
  readonly sources = new Set<Fact<unknown>>();
  private state: State = State.Stale;
  private running = false;
  private everRun = false;
  private queue: Queue | undefined;

  /** `onCycle` is the value that a computation sees when it asks for itself. */
  constructor(
    private readonly compute: () => T,
    private readonly onCycle: () => T,
    private readonly equal: Equal<T> = same,
  ) {
    super();
  }

  get(): T {
    if (this.running) return this.onCycle();
    this.recordRead();
    this.settle();
    return this.held;
  }

  settle(): void {
    if (this.running) return;
    if (this.state === State.Doubtful) {
      for (const source of this.sources) {
        source.settle();
        if ((this.state as State) === State.Stale) break;
      }
    }
    if (this.state === State.Stale) this.run();
    this.state = State.Known;
  }

  mark(state: State): void {
    const before = this.state;
    if (state > before) this.state = state;
    if (before !== State.Known) return;
    this.queue?.add(this as Derived<unknown>);
    this.tellReaders(State.Doubtful);
  }

  /** Puts this fact into the queue whenever it may have changed, and once now. */
  watch(queue: Queue): void {
    this.queue = queue;
    queue.add(this as Derived<unknown>);
  }

  /** Forgets what was read, so that nothing keeps this fact alive. */
  drop(): void {
    this.unlink();
    this.queue?.delete(this as Derived<unknown>);
    this.queue = undefined;
    this.state = State.Stale;
  }

  private run(): void {
    this.unlink();
    const outer = reader;
    reader = this as Derived<unknown>;
    this.running = true;
    try {
      const value = this.compute();
      if (this.everRun && this.equal(this.held, value)) return;
      this.held = value;
      this.everRun = true;
      this.tellReaders(State.Stale);
    } finally {
      this.running = false;
      reader = outer;
    }
  }

  private unlink(): void {
    for (const source of this.sources) source.leave(this as Derived<unknown>);
    this.sources.clear();
  }
}

/** Watched facts that may have changed since they were last looked at. */
export class Queue {
  private readonly waiting = new Set<Derived<unknown>>();

  get size(): number {
    return this.waiting.size;
  }

  add(fact: Derived<unknown>): void {
    this.waiting.add(fact);
  }

  delete(fact: Derived<unknown>): boolean {
    return this.waiting.delete(fact);
  }

  *take(): Generator<Derived<unknown>> {
    for (const fact of this.waiting) {
      this.waiting.delete(fact);
      yield fact;
    }
  }
}

/** Reads facts without recording the reads in the computation that is running. */
export function untracked<T>(read: () => T): T {
  const outer = reader;
  reader = undefined;
  try {
    return read();
  } finally {
    reader = outer;
  }
}
