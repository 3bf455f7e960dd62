/** Every finding of a book, or of some of its files. */
import type { Severity } from '../../grammar/finding.ts';
import type { Book } from '../book/book.ts';
import { findingsOfFile } from '../book/findings.ts';

export interface CheckedFinding {
  readonly code: string;
  readonly severity: Severity;
  readonly file: string;
  /** From 1. */
  readonly line: number;
  readonly column: number;
  readonly message: string;
}

export interface CheckAnswer {
  readonly findings: readonly CheckedFinding[];
  readonly files: number;
  readonly entries: number;
}

/** `nameOf` turns a uri into what the person calls the file; `wanted` picks the files whose findings are told. */
export function check(
  book: Book,
  nameOf: (uri: string) => string,
  wanted: (uri: string) => boolean = () => true,
): CheckAnswer {
  const uris = [...book.files.keys()].filter(wanted).sort();
  const findings = uris.flatMap((uri) =>
    findingsOfFile(book, uri).map((one) => ({
      code: one.code,
      severity: one.severity,
      file: nameOf(uri),
      line: one.line + 1,
      column: one.character + 1,
      message: `${one.problem} ${one.remedy}`,
    })),
  );
  return {
    findings,
    files: uris.length,
    entries: uris.reduce((total, uri) => total + book.files.get(uri)!.cells.length, 0),
  };
}
