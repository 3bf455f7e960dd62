import { assert } from 'chai';
import * as vscode from 'vscode';
import { placeOf, revert, show } from './documents.ts';
import { test } from './runner.ts';
import { until } from './until.ts';

/** Types as a hand does: one key after the other. The editor may indent by itself, so blanks that are there are not typed again. */
async function typeLine(editor: vscode.TextEditor, line: string): Promise<void> {
  await vscode.commands.executeCommand('type', { text: '\n' });
  const { active } = editor.selection;
  const indent = editor.document.lineAt(active.line).text.slice(0, active.character);
  assert.match(indent, /^\s*$/);
  const wanted = /^\s*/.exec(line)![0];
  const missing = wanted.slice(indent.length);
  for (let extra = indent.length; extra > wanted.length; extra--) await vscode.commands.executeCommand('deleteLeft');
  for (const key of missing + line.trimStart()) await vscode.commands.executeCommand('type', { text: key });
}

/** The hint behind a line as soon as it is as wanted. */
function hint(document: vscode.TextDocument, line: number, wanted: RegExp): Promise<string> {
  let last = '';
  return until(`a hint ${wanted} on line ${line + 1}`, async () => {
    const hints = await vscode.commands.executeCommand<vscode.InlayHint[]>(
      'vscode.executeInlayHintProvider',
      document.uri,
      new vscode.Range(0, 0, document.lineCount, 0),
    );
    last = hints
      .filter((one) => one.position.line === line)
      .map(({ label }) => (typeof label === 'string' ? label : label.map((part) => part.value).join('')))
      .join(' ');
    return wanted.test(last) ? last : undefined;
  }).catch((error: Error) => {
    throw new Error(`${error.message} (last seen: '${last}')`);
  });
}

test('A batch is poured key by key, over-poured and rescued', async () => {
  const editor = await show('samphire.pour');
  const { document } = editor;
  const end = document.lineAt(document.lineCount - 1).range.end;
  editor.selection = new vscode.Selection(end, end);
  await typeLine(editor, 'batch 2026-10-14-A of SAM-31/dark');
  await typeLine(editor, '  make 80 g');
  const { line: make } = placeOf(document, '  make 80 g');
  await hint(document, make, /^next 33\.2 g: 33\.2 g of GRN-2$/);

  await typeLine(editor, '  poured GRN-2 33.2 g');
  await hint(document, make + 1, /^next 50\.5 g: 17\.3 g of ALU-C; → 33\.2 g, as meant$/);

  // The hand slips: 18.0 g instead of 17.3.
  await typeLine(editor, '  poured ALU-C scale 51.2 g');
  await hint(document, make + 2, /^next 52\.5 g: 1\.3 g of BLK-1; 18\.0 g poured, 0\.7 g over: /);

  const place = placeOf(document, '51.2 g', 1);
  const fixes = await until('the ways out', async () => {
    const actions = await vscode.commands.executeCommand<vscode.CodeAction[]>(
      'vscode.executeCodeActionProvider',
      document.uri,
      new vscode.Range(place, place),
      vscode.CodeActionKind.QuickFix.value,
      10,
    );
    return actions.some((action) => action.edit) ? actions : undefined;
  });
  for (const way of ['Leave it: 80.7 g', 'Make 83.1 g', 'take 1.9 g out', 'Start again: 80.0 g'])
    assert.isTrue(
      fixes.some((fix) => fix.title.includes(way)),
      `${way} among ${fixes.map((fix) => fix.title).join('; ')}`,
    );
  const larger = fixes.find((fix) => fix.title.startsWith('Make 83.1 g'))!;
  assert.isTrue(await vscode.workspace.applyEdit(larger.edit as vscode.WorkspaceEdit));
  assert.equal(document.lineAt(make).text, '  make 83.1 g');
  await hint(document, make + 2, /^next 52\.5 g: 1\.3 g of GRN-2; /);

  const last = document.lineAt(place.line).range.end;
  editor.selection = new vscode.Selection(last, last);
  await typeLine(editor, '  poured GRN-2 1.3 g');
  await hint(document, make + 3, /^next 53\.9 g: 1\.4 g of BLK-1; /);
  await typeLine(editor, '  poured BLK-1 scale 53.9 g');
  await typeLine(editor, '  poured BND-0 scale 83.1 g');
  await hint(document, make + 5, /^all in: 83\.1 g; /);
  await revert(editor);
});

test('The pour sheet opens beside the text', async () => {
  await show('samphire.pour');
  await vscode.commands.executeCommand('pourbook.showSheet');
  const sheet = await until('the panel', () =>
    vscode.window.tabGroups.all
      .flatMap((group) => group.tabs)
      .find((tab) => tab.input instanceof vscode.TabInputWebview && tab.input.viewType.endsWith('pourbook.sheet')),
  );
  assert.equal(sheet.label, 'Pour sheet');
  await vscode.window.tabGroups.close(sheet);
});
