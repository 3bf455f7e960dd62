import { assert } from 'chai';
import * as vscode from 'vscode';
import { bookUri, show } from './documents.ts';
import { test } from './runner.ts';
import { until } from './until.ts';

test('A .pour file is of our language and wakes the extension', async () => {
  const { document } = await show('samphire.pour');
  assert.equal(document.languageId, 'pour');
  const extension = vscode.extensions.getExtension('pourbook.pourbook');
  assert.isDefined(extension);
  await until('the extension to be active', () => extension?.isActive);
  await extension?.activate(); // rejects when it was woken but could not start
});

test('Its commands are there', async () => {
  const commands = await vscode.commands.getCommands(true);
  const contributed: { command: string }[] =
    vscode.extensions.getExtension('pourbook.pourbook')?.packageJSON.contributes.commands;
  assert.isAbove(contributed.length, 0);
  for (const { command } of contributed) assert.include(commands, command);
});

test('The settings of the language apply', async () => {
  const settings = vscode.workspace.getConfiguration('editor', { languageId: 'pour', uri: bookUri('samphire.pour') });
  assert.equal(settings.get('wordBasedSuggestions'), 'off');
  assert.equal(settings.get('semanticHighlighting.enabled'), true);
});
