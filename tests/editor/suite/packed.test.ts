import { assert } from 'chai';
import * as vscode from 'vscode';
import { hoverText, placeOf, problems, show } from './documents.ts';
import { test } from './runner.ts';
import { until } from './until.ts';

test('The packed extension works in a clean profile, before the folder is trusted', async () => {
  assert.isFalse(vscode.workspace.isTrusted);
  const extension = vscode.extensions.getExtension('pourbook.pourbook');
  assert.match(extension?.extensionPath ?? '', /profile.extensions/);
  const { document } = await show('samphire.pour');
  assert.equal(document.languageId, 'pour');
  await until('the extension to be active', () => extension?.isActive);
  await problems('broken.pour', (all) => all.length > 0, 'problems');
  await until('a hover', async () => {
    const hovers = await vscode.commands.executeCommand<vscode.Hover[]>(
      'vscode.executeHoverProvider',
      document.uri,
      placeOf(document, 'formula SAM-31', 10),
    );
    return hoverText(hovers).includes('103.0');
  });
  // Git is the editor's, and it runs none in a folder that nobody trusts.
  assert.match(String(await vscode.commands.executeCommand('pourbook.reviewChanges')), /until you trust this folder/);
});
