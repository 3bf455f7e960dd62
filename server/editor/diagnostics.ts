/**
 * Who tells the editor of problems: the one owner of what each file was last told. A report is always made of the present state and in
 * one go, so that a run that was overtaken by an edit cannot have the last word.
 */
import {
  type CancellationToken,
  type Connection,
  type DocumentDiagnosticReport,
  LSPErrorCodes,
  ResponseError,
  type WorkspaceDocumentDiagnosticReport,
} from 'vscode-languageserver';
import type { EntryCell } from '../book/cell.ts';
import type { Ports } from './ports.ts';
import type { FileProblems, Report } from './problems.ts';
import { normalUri } from './uri.ts';
import { SLICE, type Workspace } from './workspace.ts';

interface Told {
  readonly id: string;
  /** As the editor spelled it then. */
  readonly uri: string;
  readonly version: number | undefined;
}

/** So many entries with findings cost the editor more than a keystroke: they are told when nothing else is to do. */
const MANY = 500;

export class Diagnostics {
  /** How the editor learns of problems: told file by file, or asked to pull again. */
  pull = false;
  private readonly told = new Map<string, Told>();
  /** Files that the editor pulls by itself, since it has just edited them. */
  private readonly expected = new Set<string>();
  private running = false;
  private ended = false;

  constructor(
    private readonly connection: Connection,
    private readonly workspace: Workspace,
    private readonly ports: Ports,
  ) {}

  /** Tells an edited file at once, beginning with the entry that was edited; the others follow when nothing else is to do. */
  edited(uri: string, cell?: EntryCell): void {
    const problems = this.workspace.problems(uri);
    if (problems && this.pull) this.expected.add(problems.file.uri);
    else if (problems && problems.size < MANY) {
      problems.look(performance.now() + SLICE, cell);
      this.tell(problems);
    }
    this.changed();
  }

  changed(): void {
    if (this.running || this.ended) return;
    this.running = true;
    void this.tellRest().finally(() => {
      this.running = false;
      if (this.workspace.nextUnsettled()) this.changed();
    });
  }

  gone(uri: string): void {
    const normal = normalUri(uri);
    const told = this.told.get(normal);
    this.told.delete(normal);
    this.expected.delete(normal);
    if (this.pull) this.refresh();
    else if (told) this.send(told.uri, []);
  }

  end(): void {
    this.ended = true;
  }

  private async tellRest(): Promise<void> {
    await this.ports.pause();
    await this.workspace.readImports().catch((error: unknown) => this.failed('reading open-format files', error));
    let refresh = false;
    let since = performance.now();
    for (let next = this.workspace.nextUnsettled(); next && !this.ended; next = this.workspace.nextUnsettled()) {
      try {
        if (next.look(since + SLICE)) refresh = this.tell(next) || refresh;
      } catch (error) {
        this.failed(`diagnostics of ${next.file.uri}`, error);
        this.workspace.settled(next);
      }
      if (performance.now() - since < SLICE) continue;
      await this.ports.pause();
      since = performance.now();
    }
    if (refresh) this.refresh();
  }

  private failed(what: string, error: unknown): void {
    this.connection.console.error(`${what} failed: ${String(error)}`);
  }

  /** Returns whether an editor that pulls has to be asked to do so. */
  private tell(problems: FileProblems): boolean {
    const normal = problems.file.uri;
    const report = this.make(problems);
    const told = this.told.get(normal);
    const nothingNew = told ? told.id === report.id : report.items.length === 0;
    if (this.pull) return !nothingNew && !this.expected.has(normal);
    const version = this.workspace.opened(normal)?.version;
    const uri = this.workspace.spelled(normal);
    if (nothingNew && told?.version === version && (told?.uri ?? uri) === uri) return false;
    if (told && told.uri !== uri) this.send(told.uri, []);
    this.told.set(normal, { id: report.id, uri, version });
    this.send(uri, report.items, version);
    return false;
  }

  private make(problems: FileProblems): Report {
    const report = problems.report();
    this.workspace.pointsOut(problems);
    if (problems.isSettled) this.workspace.settled(problems);
    return report;
  }

  private send(uri: string, items: Report['items'], version?: number): void {
    this.connection
      .sendDiagnostics({
        uri,
        diagnostics: [...items],
        ...(version === undefined ? {} : { version }),
      })
      .catch(() => undefined); // the editor has gone
  }

  private refresh(): void {
    this.connection.languages.diagnostics.refresh().catch(() => undefined);
  }

  document(uri: string, previous: string | undefined): DocumentDiagnosticReport {
    const problems = this.workspace.problems(uri);
    if (!problems) return { kind: 'full', items: [] };
    problems.look();
    const { id, items } = this.make(problems);
    this.expected.delete(problems.file.uri);
    this.told.set(problems.file.uri, { id, uri, version: undefined });
    return previous === id ? { kind: 'unchanged', resultId: id } : { kind: 'full', resultId: id, items: [...items] };
  }

  /** Every file of every book, as far as they are read; what the editor has already is called unchanged. */
  async all(
    previous: ReadonlyMap<string, string>,
    token: CancellationToken,
  ): Promise<WorkspaceDocumentDiagnosticReport[]> {
    await this.lookAtAll(token);
    // In one go from here, so that all answers are of one moment.
    const before = new Map([...previous].map(([uri, id]) => [normalUri(uri), { uri, id }]));
    const reports: WorkspaceDocumentDiagnosticReport[] = [];
    for (const problems of this.allProblems()) {
      const { uri } = problems.file;
      const report = this.document(uri, before.get(uri)?.id);
      const version = this.workspace.opened(uri)?.version ?? null;
      reports.push({ ...report, uri: before.get(uri)?.uri ?? this.workspace.spelled(uri), version });
    }
    for (const [normal, { uri }] of before)
      if (!this.workspace.at(normal)) reports.push({ kind: 'full', uri, version: null, items: [] });
    return reports;
  }

  private async lookAtAll(token: CancellationToken): Promise<void> {
    let since = performance.now();
    for (const problems of [...this.allProblems()]) {
      while (!problems.look(since + SLICE) || performance.now() - since >= SLICE) {
        await this.ports.pause();
        if (token.isCancellationRequested) throw new ResponseError(LSPErrorCodes.RequestCancelled, 'No longer wanted.');
        since = performance.now();
      }
    }
  }

  private *allProblems(): Generator<FileProblems> {
    for (const { book, problems } of this.workspace.allShelves()) {
      for (const one of problems.values()) if (book.loaded.peek() || this.workspace.opened(one.file.uri)) yield one;
    }
  }
}
