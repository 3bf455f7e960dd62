import { assert } from 'chai';
import * as vscode from 'vscode';
import { test } from './runner.ts';

test('runs', async () => {
  assert.isAtLeast((await vscode.commands.getCommands()).length, 100);
});
