/** Findings as the editor's problems: one owner for each file, told when they change and only then. */
import {
  type Connection,
  type Diagnostic,
  DiagnosticSeverity,
  type DocumentDiagnosticReport,
  type WorkspaceDocumentDiagnosticReport,
} from 'vscode-languageserver';
import type { Severity } from '../../grammar/finding.ts';
import type { Book } from '../book/book.ts';
import type { EntryCell } from '../book/cell.ts';
import type { BookFile } from '../book/file.ts';
import { findingsIn } from '../book/findings.ts';
import { locationOf, rangeIn } from './places.ts';
import type { Ports } from './ports.ts';
import type { Shelf, Workspace } from './workspace.ts';

const SEVERITY: Record<Severity, DiagnosticSeverity> = {
  error: DiagnosticSeverity.Error,
  warning: DiagnosticSeverity.Warning,
  info: DiagnosticSeverity.Information,
};

export class Diagnostics {
  /** Grows whenever a file's findings may have changed; it is the result id of pulled reports. */
  private readonly revisions = new Map<string, number>();
  private revision = 0;
  private running = false;
  /** How the editor learns of it: told file by file, or asked to pull again. */
  pull = false;

  constructor(
    private readonly connection: Connection,
    private readonly workspace: Workspace,
    private readonly ports: Ports,
  ) {}

  /** Tells what changed: the edited file at once, the others in slices that let typing through. */
  changed(shelf: Shelf, first?: string): void {
    if (first && !this.pull) this.tell(shelf, first);
    void this.tellRest();
  }

  gone(uri: string): void {
    this.revisions.delete(uri);
    if (!this.pull) void this.connection.sendDiagnostics({ uri, diagnostics: [] });
  }

  private async tellRest(): Promise<void> {
    if (this.running) return;
    this.running = true;
    try {
      await this.ports.pause();
      let any = false;
      for (const shelf of this.workspace.allShelves()) {
        let since = Date.now();
        for (const uri of this.workspace.doubtfulFiles(shelf)) {
          any = true;
          this.revisions.set(uri, ++this.revision);
          if (!this.pull) this.tell(shelf, uri);
          if (Date.now() - since > 15) {
            await this.ports.pause();
            since = Date.now();
          }
        }
      }
      if (any && this.pull) this.connection.languages.diagnostics.refresh();
    } finally {
      this.running = false;
    }
    if (this.workspace.allShelves().some((shelf) => shelf.doubtful.size > 0)) void this.tellRest();
  }

  private readonly told = new Map<string, string>();

  private tell(shelf: Shelf, uri: string): void {
    const file = shelf.book.files.get(uri);
    if (!file) {
      if (this.told.delete(uri)) this.gone(uri);
      return;
    }
    const diagnostics = diagnosticsOf(shelf.book, file);
    const version = this.workspace.opened(uri)?.version;
    const text = JSON.stringify(diagnostics);
    if (this.told.get(uri) === text && version === undefined) return;
    this.told.set(uri, text);
    void this.connection.sendDiagnostics({ uri, diagnostics, ...(version === undefined ? {} : { version }) });
  }

  document(uri: string, previous: string | undefined): DocumentDiagnosticReport {
    const found = this.workspace.at(uri);
    if (!found) return { kind: 'full', items: [] };
    const resultId = this.resultId(found.file);
    if (previous === resultId) return { kind: 'unchanged', resultId };
    return { kind: 'full', resultId, items: diagnosticsOf(found.shelf.book, found.file) };
  }

  /** Every file of every book; what the editor has already is called unchanged. */
  all(previous: ReadonlyMap<string, string>): WorkspaceDocumentDiagnosticReport[] {
    const reports: WorkspaceDocumentDiagnosticReport[] = [];
    for (const shelf of this.workspace.allShelves()) {
      for (const file of shelf.book.files.values()) {
        const version = this.workspace.opened(file.uri)?.version ?? null;
        const resultId = this.resultId(file);
        if (previous.get(file.uri) === resultId) reports.push({ kind: 'unchanged', uri: file.uri, version, resultId });
        else reports.push({ kind: 'full', uri: file.uri, version, resultId, items: diagnosticsOf(shelf.book, file) });
      }
    }
    for (const uri of previous.keys())
      if (!this.workspace.at(uri)) reports.push({ kind: 'full', uri, version: null, items: [] });
    return reports;
  }

  private resultId(file: BookFile): string {
    const version = this.workspace.opened(file.uri)?.version;
    return `${this.revisions.get(file.uri) ?? 0}.${version ?? ''}`;
  }
}

export function diagnosticsOf(book: Book, file: BookFile): Diagnostic[] {
  const diagnostics: Diagnostic[] = [];
  file.cells.forEach((cell, index) => {
    for (const finding of findingsIn(book, cell)) {
      const related = (finding.related ?? []).flatMap((one) => {
        const other = one.entry === undefined ? cell : entryNamed(book, one.entry);
        return other ? [{ location: locationOf(other, one), message: one.text }] : [];
      });
      diagnostics.push({
        range: rangeIn(file, index, finding),
        severity: SEVERITY[finding.severity],
        code: finding.code,
        source: 'pourbook',
        message: `${finding.problem} ${finding.remedy}`,
        ...(related.length > 0 ? { relatedInformation: related } : {}),
      });
    }
  });
  return diagnostics;
}

export function entryNamed(book: Book, name: string): EntryCell | undefined {
  return book.named(name as `toner:${string}`)[0];
}
