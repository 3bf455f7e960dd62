import * as vscode from 'vscode';
import { until } from './until.ts';

/** The address of a file of the book that the editor has opened. */
export function bookUri(name: string): vscode.Uri {
  const folder = vscode.workspace.workspaceFolders?.[0];
  if (!folder) throw new Error('the editor has opened no folder');
  return vscode.Uri.joinPath(folder.uri, name);
}

export async function show(name: string): Promise<vscode.TextEditor> {
  return vscode.window.showTextDocument(await vscode.workspace.openTextDocument(bookUri(name)));
}

/** The place of a text in a document, `plus` characters behind its beginning. */
export function placeOf(document: vscode.TextDocument, text: string, plus = 0): vscode.Position {
  const at = document.getText().indexOf(text);
  if (at < 0) throw new Error(`'${text}' is not in ${document.uri.path}`);
  return document.positionAt(at + plus);
}

/** The problems of a file as soon as they are as wanted. */
export function problems(
  name: string,
  wanted: (problems: vscode.Diagnostic[]) => boolean,
  what: string,
): Promise<vscode.Diagnostic[]> {
  const uri = bookUri(name);
  let last: vscode.Diagnostic[] = [];
  return until(`${what} in ${name}`, () => {
    last = vscode.languages.getDiagnostics(uri);
    return wanted(last) ? last : undefined;
  }).catch((error: Error) => {
    const seen = last.map((each) => `${each.range.start.line + 1}: ${each.message}`).join('; ');
    throw new Error(`${error.message} (last seen: ${seen || 'none'})`);
  });
}

/** Undoes every edit that was not saved. */
export async function revert(editor: vscode.TextEditor): Promise<void> {
  await vscode.window.showTextDocument(editor.document);
  await vscode.commands.executeCommand('workbench.action.files.revert');
}

/** What a hover says, as one text. */
export function hoverText(hovers: vscode.Hover[]): string {
  return hovers
    .flatMap((hover) => hover.contents)
    .map((content) => (typeof content === 'string' ? content : content.value))
    .join('\n');
}
