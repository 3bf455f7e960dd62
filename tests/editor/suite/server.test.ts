import { assert } from 'chai';
import * as vscode from 'vscode';
import { bookUri, hoverText, placeOf, problems, show } from './documents.ts';
import { test } from './runner.ts';
import { until } from './until.ts';

test('The server answers again after a restart', async () => {
  const { document } = await show('samphire.pour');
  await vscode.commands.executeCommand('pourbook.restartServer');
  await problems('broken.pour', (all) => all.length > 0, 'problems after the restart');
  await until('a hover after the restart', async () => {
    const hovers = await vscode.commands.executeCommand<vscode.Hover[]>(
      'vscode.executeHoverProvider',
      document.uri,
      placeOf(document, 'formula SAM-31', 10),
    );
    return hoverText(hovers).includes('GRN-2');
  });
});

test('A file outside the disk is served too', async () => {
  const document = await vscode.workspace.openTextDocument({
    language: 'pour',
    content: 'formula X-1 "Loose"\n  tonr GRN-2 1\n',
  });
  assert.notEqual(document.uri.scheme, bookUri('').scheme);
  await until('its problems', () => vscode.languages.getDiagnostics(document.uri).length > 0);
});
