import { assert } from 'chai';
import * as vscode from 'vscode';
import { bookUri, placeOf, problems, revert, show } from './documents.ts';
import { test } from './runner.ts';
import { until } from './until.ts';

const on = (line: number) => (problem: vscode.Diagnostic) => problem.range.start.line === line;

test('A broken file has a problem on each wrong line, with the nearest name offered', async () => {
  const { document } = await show('broken.pour');
  const unknown = placeOf(document, 'GRN-3').line;
  const comma = placeOf(document, '90,00').line;
  const found = await problems('broken.pour', (all) => all.some(on(unknown)) && all.some(on(comma)), 'both problems');
  assert.match(found.find(on(unknown))?.message ?? '', /GRN-2/);
  for (const problem of found) {
    assert.equal(problem.source?.toLowerCase(), 'pourbook');
    assert.isDefined(problem.code);
  }
});

test('A sound file has no error', async () => {
  await problems(
    'samphire.pour',
    (all) => all.every((each) => each.severity !== vscode.DiagnosticSeverity.Error),
    'peace',
  );
});

test('A file that is not open is checked too', async () => {
  await vscode.commands.executeCommand('workbench.action.closeAllEditors');
  await problems('broken.pour', (all) => all.length > 0, 'problems');
});

test('A quick fix writes the nearest name', async () => {
  const editor = await show('broken.pour');
  const place = placeOf(editor.document, 'GRN-3', 1);
  const fix = await until('a quick fix', async () => {
    const actions = await vscode.commands.executeCommand<vscode.CodeAction[]>(
      'vscode.executeCodeActionProvider',
      editor.document.uri,
      new vscode.Range(place, place),
      vscode.CodeActionKind.QuickFix.value,
      10,
    );
    return actions.find((action) => action.edit && action.title.includes('GRN-2'));
  });
  assert.isTrue(await vscode.workspace.applyEdit(fix.edit as vscode.WorkspaceEdit));
  assert.include(editor.document.lineAt(place.line).text, 'GRN-2');
  await problems('broken.pour', (all) => !all.some(on(place.line)), 'the fixed line at peace');
  await revert(editor);
});

test('Closing an edited file without saving brings back what is on disk', async () => {
  const editor = await show('samphire.pour');
  const place = placeOf(editor.document, 'toner GRN-2  41.20', 'toner '.length);
  await editor.edit((edit) => edit.replace(new vscode.Range(place, place.translate(0, 5)), 'GRN-7'));
  await problems('samphire.pour', (all) => all.some(on(place.line)), 'the new problem');
  await vscode.commands.executeCommand('workbench.action.revertAndCloseActiveEditor');
  await problems('samphire.pour', (all) => !all.some(on(place.line)), 'the line at peace');
});

test('A file that appears or vanishes on disk changes the problems of the others', async () => {
  await show('broken.pour');
  const line = placeOf((await show('broken.pour')).document, 'GRN-3').line;
  await problems('broken.pour', (all) => all.some(on(line)), 'the unknown toner');
  const added = bookUri('added.pour');
  const text = 'toner GRN-3 "Another green"\n  system       WB\n  kind         opaque\n';
  await vscode.workspace.fs.writeFile(added, new TextEncoder().encode(text));
  await problems('broken.pour', (all) => !all.some(on(line)), 'the toner now known');
  await vscode.workspace.fs.delete(added);
  await problems('broken.pour', (all) => all.some(on(line)), 'the unknown toner again');
});

test('A problem leads to its page of the manual', async () => {
  const found = await problems('broken.pour', (all) => all.length > 0, 'problems');
  const { code } = found[0]!;
  assert.isObject(code);
  const { value, target } = code as { value: string; target: vscode.Uri };
  const page = await vscode.workspace.openTextDocument(target);
  assert.match(page.getText(), new RegExp(`^# ${value}\n`));
  assert.equal(page.languageId, 'markdown');
});

test('A file that the user hides is not checked', async () => {
  const hidden = bookUri('hidden.pour');
  await vscode.workspace.fs.writeFile(hidden, new TextEncoder().encode('formula HID-1 "Hidden"\n  tonner GRN-2 1\n'));
  await problems('hidden.pour', (all) => all.length > 0, 'problems');
  const settings = vscode.workspace.getConfiguration('files');
  await settings.update('exclude', { '**/hidden.pour': true }, vscode.ConfigurationTarget.Workspace);
  await problems('hidden.pour', (all) => all.length === 0, 'peace about the hidden file');
  await settings.update('exclude', undefined, vscode.ConfigurationTarget.Workspace);
  await problems('hidden.pour', (all) => all.length > 0, 'problems again');
  await vscode.workspace.fs.delete(hidden);
});
