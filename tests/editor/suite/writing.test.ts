import { assert } from 'chai';
import * as vscode from 'vscode';
import { placeOf, revert, show } from './documents.ts';
import { test } from './runner.ts';
import { until } from './until.ts';

async function offers(document: vscode.TextDocument, place: vscode.Position): Promise<string[]> {
  const list = await vscode.commands.executeCommand<vscode.CompletionList>(
    'vscode.executeCompletionItemProvider',
    document.uri,
    place,
  );
  return list.items.map((item) => (typeof item.label === 'string' ? item.label : item.label.label));
}

/** Writes a half line at the end of a formula and gives what is offered behind it. */
async function offersAfter(half: string, wanted: string): Promise<string[]> {
  const editor = await show('samphire.pour');
  const line = placeOf(editor.document, 'note         "Stir').line;
  await editor.edit((edit) => edit.insert(new vscode.Position(line, 0), `${half}\n`));
  const found = await until(`'${wanted}' to be offered`, async () => {
    const all = await offers(editor.document, new vscode.Position(line, half.length));
    return all.includes(wanted) ? all : undefined;
  }).finally(() => revert(editor));
  return found;
}

test('The toners are offered where one is named, and nothing else', async () => {
  const found = await offersAfter('  toner ', 'SEAL-W');
  assert.notInclude(found, 'BENCH-2');
  assert.notInclude(found, 'maker');
});

test('The words of a formula are offered at the beginning of a line', async () => {
  const found = await offersAfter('  ', 'expect');
  assert.notInclude(found, 'calibrated');
});

test('Formatting aligns the columns, keeps the text and is done at once', async () => {
  const editor = await show('untidy.pour');
  const atoms = (text: string) => text.split(/\s+/).join(' ');
  const before = editor.document.getText();
  const format = () =>
    vscode.commands.executeCommand<vscode.TextEdit[] | undefined>(
      'vscode.executeFormatDocumentProvider',
      editor.document.uri,
      {
        tabSize: 2,
        insertSpaces: true,
      },
    );
  const edits = await until('edits', async () => {
    const all = await format();
    return all?.length ? all : undefined;
  });
  const change = new vscode.WorkspaceEdit();
  change.set(editor.document.uri, edits);
  assert.isTrue(await vscode.workspace.applyEdit(change));
  const after = editor.document.getText();
  assert.equal(atoms(after), atoms(before));
  const columns = new Set([...after.matchAll(/^ {2}toner \S+ +/gm)].map((match) => match[0].length));
  assert.equal(columns.size, 1, after);
  assert.isEmpty((await format()) ?? []);
  await revert(editor);
});
