/** The fixes of findings as quick fixes, and all sure ones of a file at once. */
import {
  type CodeAction,
  type CodeActionContext,
  CodeActionKind,
  type Range,
  type TextEdit,
  type OptionalVersionedTextDocumentIdentifier as VersionedDocument,
} from 'vscode-languageserver';
import type { Edit, Finding, Fix } from '../../grammar/finding.ts';
import type { Book } from '../book/book.ts';
import type { BookFile } from '../book/file.ts';
import { findingsIn } from '../book/findings.ts';
import { rangeIn } from './places.ts';

export const FIX_ALL = `${CodeActionKind.SourceFixAll}.pourbook`;

export function codeActions(
  book: Book,
  file: BookFile,
  range: Range,
  context: CodeActionContext,
  document: VersionedDocument,
): CodeAction[] {
  const wanted = (kind: string) =>
    !context.only || context.only.some((one) => kind === one || kind.startsWith(`${one}.`));
  const actions: CodeAction[] = [];
  if (wanted(CodeActionKind.QuickFix)) actions.push(...quickFixes(book, file, range, context, document));
  if (wanted(FIX_ALL) && context.only) {
    const edits = sureEdits(book, file);
    if (edits.length > 0)
      actions.push({
        title: 'Put right every slip of writing in this file',
        kind: FIX_ALL,
        edit: editOf(document, edits),
      });
  }
  return actions;
}

function quickFixes(
  book: Book,
  file: BookFile,
  range: Range,
  context: CodeActionContext,
  document: VersionedDocument,
): CodeAction[] {
  const actions: CodeAction[] = [];
  const last = file.indexAtLine(range.end.line);
  for (let index = Math.max(0, file.indexAtLine(range.start.line)); index <= last; index++) {
    for (const finding of findingsIn(book, file.cells[index]!)) {
      const at = rangeIn(file, index, finding);
      if (!overlap(at, range)) continue;
      for (const fix of finding.fixes ?? []) {
        actions.push({
          title: fix.title,
          kind: CodeActionKind.QuickFix,
          diagnostics: context.diagnostics.filter((one) => one.code === finding.code && same(one.range, at)),
          isPreferred: finding.fixes!.length === 1,
          edit: editOf(document, textEdits(file, index, fix.edits)),
        });
      }
    }
  }
  return actions;
}

/** Edits of all fixes that are sure, first come first served where two overlap. */
function sureEdits(book: Book, file: BookFile): TextEdit[] {
  return file.cells.flatMap((cell, index) => {
    const taken: Edit[] = [];
    for (const fix of findingsIn(book, cell).flatMap(sureFix)) {
      if (fix.edits.every((edit) => taken.every((one) => edit.to < one.from || one.to < edit.from)))
        taken.push(...fix.edits);
    }
    return textEdits(file, index, taken);
  });
}

const sureFix = (finding: Finding): Fix[] => (finding.fixes ?? []).filter((fix) => fix.sure).slice(0, 1);

const textEdits = (file: BookFile, index: number, edits: readonly Edit[]): TextEdit[] =>
  edits.map((edit) => ({ range: rangeIn(file, index, edit), newText: edit.text }));

const editOf = (textDocument: VersionedDocument, edits: TextEdit[]) => ({ documentChanges: [{ textDocument, edits }] });

const before = (a: { line: number; character: number }, b: { line: number; character: number }): boolean =>
  a.line < b.line || (a.line === b.line && a.character < b.character);
const overlap = (a: Range, b: Range): boolean => !before(a.end, b.start) && !before(b.end, a.start);
const same = (a: Range, b: Range): boolean => JSON.stringify(a) === JSON.stringify(b);
