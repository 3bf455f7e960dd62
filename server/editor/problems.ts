/**
 * The problems of one file: its findings, entry by entry. Only entries that may have changed are looked at again, and places are worked
 * out only for entries that have findings, so that a keystroke costs no more in a long file than in a short one.
 */
import { type Diagnostic, type DiagnosticRelatedInformation, DiagnosticSeverity } from 'vscode-languageserver';
import type { Finding, Severity } from '../../grammar/finding.ts';
import type { Book } from '../book/book.ts';
import type { EntryCell, Name } from '../book/cell.ts';
import { type Derived, Queue } from '../book/facts.ts';
import type { BookFile } from '../book/file.ts';
import { findingsFact } from '../book/findings.ts';
import { locationOf, rangeIn } from './places.ts';

const SEVERITY: Record<Severity, DiagnosticSeverity> = {
  error: DiagnosticSeverity.Error,
  warning: DiagnosticSeverity.Warning,
  info: DiagnosticSeverity.Information,
};

/** What the editor was or will be told about a file. */
export interface Report {
  /** Another one whenever the items are other ones; never used twice. */
  readonly id: string;
  readonly items: readonly Diagnostic[];
}

let reports = 0;

interface Placed {
  readonly findings: readonly Finding[];
  readonly text: string;
  readonly line: number;
  readonly items: readonly Diagnostic[];
}

const hasRelated = (item: Diagnostic): boolean => item.relatedInformation !== undefined;

/** Diagnostics that say the same are the same objects, see `place`. */
const same = (a: readonly Diagnostic[], b: readonly Diagnostic[]): boolean =>
  a.length === b.length && a.every((item, index) => item === b[index]);

export class FileProblems {
  private readonly doubtful: Queue;
  private readonly cellOf = new Map<Derived<unknown>, EntryCell>();
  /** Entries that have findings. */
  private readonly found = new Map<EntryCell, readonly Finding[]>();
  /** Their diagnostics as last placed. */
  private readonly placed = new WeakMap<EntryCell, Placed>();
  private current: Report | undefined;
  /** Findings or places may be other ones than in the current report. */
  private outdated = true;
  /** Other files in which something related lies. */
  readonly relatedFiles = new Set<string>();

  /** `onDoubt` is called whenever the report may have to be made anew. */
  constructor(
    private readonly book: Book,
    readonly file: BookFile,
    private readonly pageOf: (code: string) => string | undefined,
    private readonly onDoubt: (problems: FileProblems) => void,
  ) {
    this.doubtful = new TellingQueue(() => onDoubt(this));
  }

  /** Watches an entry, from its first reading on. */
  watch(cell: EntryCell): void {
    const fact = findingsFact(this.book, cell) as Derived<unknown>;
    this.cellOf.set(fact, cell);
    fact.watch(this.doubtful);
  }

  forget(cell: EntryCell): void {
    const fact = findingsFact(this.book, cell) as Derived<unknown>;
    fact.drop();
    this.cellOf.delete(fact);
    if (this.found.delete(cell)) this.moved();
  }

  /** The text of this file or of one that it relates to has changed, so places may be others. */
  moved(): void {
    this.outdated = true;
    this.onDoubt(this);
  }

  /** Entries with findings: a report of very many is not made at every keystroke. */
  get size(): number {
    return this.found.size;
  }

  get isSettled(): boolean {
    return this.doubtful.size === 0 && !this.outdated;
  }

  /** Looks at entries in doubt, the given one first, until all are seen or the time is over. Says whether all are. */
  look(until = Number.POSITIVE_INFINITY, first?: EntryCell): boolean {
    if (first) this.lookAt(first);
    for (const fact of this.doubtful.take()) {
      const cell = this.cellOf.get(fact);
      if (cell) this.lookAt(cell);
      if (this.doubtful.size > 0 && performance.now() > until) return false;
    }
    return true;
  }

  private lookAt(cell: EntryCell): void {
    const fact = findingsFact(this.book, cell);
    const findings = fact.get();
    this.doubtful.delete(fact as Derived<unknown>);
    if (findings === this.found.get(cell)) return;
    if (findings.length > 0) this.found.set(cell, findings);
    else if (!this.found.delete(cell)) return;
    this.outdated = true;
  }

  /** The report by what has been looked at; the same one as before while nothing in it differs. */
  report(): Report {
    if (this.current && !this.outdated) return this.current;
    this.outdated = false;
    const items = this.items();
    if (!this.current || !same(this.current.items, items)) this.current = { id: String(++reports), items };
    return this.current;
  }

  private items(): Diagnostic[] {
    this.relatedFiles.clear();
    const places = [...this.found.keys()].map((cell) => ({ cell, index: this.file.indexOf(cell) }));
    return places.sort((a, b) => a.index - b.index).flatMap(({ cell, index }) => this.place(cell, index));
  }

  /** The diagnostics of an entry; those of before while its findings, its text and its line are the same. */
  private place(cell: EntryCell, index: number): readonly Diagnostic[] {
    const findings = this.found.get(cell)!;
    const line = this.file.lineOf(index);
    const before = this.placed.get(cell);
    const { text } = cell.slice;
    const stays = before?.findings === findings && before.line === line && before.text === text;
    // What is related may have moved in its own entry.
    if (stays && !before.items.some(hasRelated)) return before.items;
    const made = findings.map((finding) => this.diagnostic(cell, index, finding));
    const items = before && JSON.stringify(before.items) === JSON.stringify(made) ? before.items : made;
    this.placed.set(cell, { findings, text, line, items });
    return items;
  }

  private diagnostic(cell: EntryCell, index: number, finding: Finding): Diagnostic {
    const relatedInformation = this.related(cell, finding);
    const href = this.pageOf(finding.code);
    return {
      range: rangeIn(this.file, index, finding),
      severity: SEVERITY[finding.severity],
      code: finding.code,
      ...(href === undefined ? {} : { codeDescription: { href } }),
      source: 'pourbook',
      message: `${finding.problem} ${finding.remedy}`,
      ...(relatedInformation.length > 0 ? { relatedInformation } : {}),
    };
  }

  private related(cell: EntryCell, { related }: Finding): DiagnosticRelatedInformation[] {
    return (related ?? []).flatMap((one) => {
      const other = one.entry === undefined ? cell : this.book.named(one.entry as Name)[0];
      if (!other) return [];
      if (other.file !== this.file) this.relatedFiles.add(other.file.uri);
      return [{ location: locationOf(other, one), message: one.text }];
    });
  }
}

class TellingQueue extends Queue {
  constructor(private readonly onAdd: () => void) {
    super();
  }

  override add(fact: Derived<unknown>): void {
    super.add(fact);
    this.onAdd();
  }
}
