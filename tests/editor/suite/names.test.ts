import { assert } from 'chai';
import * as vscode from 'vscode';
import { bookUri, placeOf, show } from './documents.ts';
import { test } from './runner.ts';
import { until } from './until.ts';

type Places = (vscode.Location | vscode.LocationLink)[];

test('A toner line leads to the toner', async () => {
  const { document } = await show('samphire.pour');
  const [found] = await until('the definition', async () => {
    const all = await vscode.commands.executeCommand<Places>(
      'vscode.executeDefinitionProvider',
      document.uri,
      placeOf(document, 'toner BLK-1', 'toner '.length + 1),
    );
    return all.length > 0 ? all : undefined;
  });
  assert.isDefined(found);
  const uri = found && ('uri' in found ? found.uri : found.targetUri);
  assert.equal(uri?.path, bookUri('toners.pour').path);
});

test('A toner knows where it is used', async () => {
  const { document } = await show('toners.pour');
  const found = await until('the uses', async () => {
    const all = await vscode.commands.executeCommand<vscode.Location[]>(
      'vscode.executeReferenceProvider',
      document.uri,
      placeOf(document, 'BLK-1', 1),
    );
    return all.length >= 3 ? all : undefined;
  });
  const files = new Set(found.map((place) => place.uri.path.split('/').pop()));
  assert.isTrue(files.has('samphire.pour'));
});

test('A rename changes every use in every file', async () => {
  const { document } = await show('toners.pour');
  const edit = await until('the edit', () =>
    vscode.commands.executeCommand<vscode.WorkspaceEdit>(
      'vscode.executeDocumentRenameProvider',
      document.uri,
      placeOf(document, 'BLK-1', 1),
      'BLK-9',
    ),
  );
  const changed = edit.entries().map(([uri, edits]) => [uri.path.split('/').pop(), edits.length] as const);
  assert.deepEqual(Object.fromEntries(changed), { 'toners.pour': 1, 'samphire.pour': 3 });
});

test('A rename to a name that is taken, or is none, is refused with a reason', async () => {
  const { document } = await show('toners.pour');
  for (const name of ['GRN-2', '41.20', 'two words']) {
    const refusal = await vscode.commands
      .executeCommand('vscode.executeDocumentRenameProvider', document.uri, placeOf(document, 'BLK-1', 1), name)
      .then(
        () => undefined,
        (error: Error) => error.message,
      );
    assert.isString(refusal, name);
    assert.isNotEmpty(refusal);
  }
});
