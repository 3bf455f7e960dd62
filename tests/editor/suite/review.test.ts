import { assert } from 'chai';
import * as vscode from 'vscode';
import { hoverText, placeOf, show } from './documents.ts';
import { test } from './runner.ts';
import { until } from './until.ts';

const inWorker = typeof process === 'undefined';

const linesAbove = async (document: vscode.TextDocument): Promise<string[]> => {
  const found = await vscode.commands.executeCommand<vscode.CodeLens[]>('vscode.executeCodeLensProvider', document.uri);
  return found.flatMap(({ command, range }) => (command ? [`${range.start.line + 1} ${command.title}`] : []));
};

const reviewTab = () =>
  vscode.window.tabGroups.all
    .flatMap((group) => group.tabs)
    .find((tab) => tab.input instanceof vscode.TabInputWebview && tab.input.viewType.endsWith('pourbook.review'));

/** Also to take an edit back, since the editor may have saved it meanwhile. */
async function overtype(editor: vscode.TextEditor, was: string, is: string): Promise<void> {
  const from = placeOf(editor.document, was);
  const to = placeOf(editor.document, was, was.length);
  assert.isTrue(await editor.edit((edit) => edit.replace(new vscode.Range(from, to), is)));
}

test('Changes since the last commit are reviewed as paint, or it is said why not', async () => {
  const editor = await show('samphire.pour');
  const { document } = editor;
  if (inWorker) {
    assert.match(String(await vscode.commands.executeCommand('pourbook.reviewChanges')), /no git here/);
    assert.deepEqual(await linesAbove(document), []);
    return;
  }
  await overtype(editor, 'toner BLK-1   1.25', 'toner BLK-1   1.75');
  const head = placeOf(document, 'formula SAM-31').line + 1;
  const above = await until('a line above the formula', async () => {
    const found = await linesAbove(document);
    return found.length > 0 ? found : undefined;
  });
  assert.deepEqual(above, [
    `${head} needs a spray-out: no card shows it as it is now · approval is of the earlier paint`,
    `${placeOf(document, 'variant SAM-31/dark').line + 1} needs a spray-out: no card shows it as it is now`,
  ]);
  const hovers = await vscode.commands.executeCommand<vscode.Hover[]>(
    'vscode.executeHoverProvider',
    document.uri,
    placeOf(document, '1.75', 1),
  );
  assert.include(hoverText(hovers), 'At HEAD: **1.25** parts');

  const markdown = await vscode.commands.executeCommand<string>('pourbook.copyReview');
  assert.match(markdown, /### the files as they are against HEAD/);
  assert.include(markdown, 'SAM-31');
  assert.include(markdown, '1.75');

  assert.isUndefined(await vscode.commands.executeCommand('pourbook.reviewChanges'));
  const tab = await until('the panel', reviewTab);
  assert.equal(tab.label, 'Review of the book');
  await vscode.window.tabGroups.close(tab);
  await overtype(await show('samphire.pour'), 'toner BLK-1   1.75', 'toner BLK-1   1.25');
  await until('no line above any more', async () => (await linesAbove(document)).length === 0);
});

test('The lines above formulas can be switched off', async () => {
  if (inWorker) return;
  const editor = await show('samphire.pour');
  await overtype(editor, 'target weight 250 g', 'target weight 240 g');
  await until('a line above the formula', async () => (await linesAbove(editor.document)).length > 0);
  const settings = vscode.workspace.getConfiguration('pourbook');
  await settings.update('review.aboveFormulas', false, vscode.ConfigurationTarget.Workspace);
  await until('none any more', async () => (await linesAbove(editor.document)).length === 0);
  await settings.update('review.aboveFormulas', undefined, vscode.ConfigurationTarget.Workspace);
  await overtype(await show('samphire.pour'), 'target weight 240 g', 'target weight 250 g');
});
