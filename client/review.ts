import * as vscode from 'vscode';
import type { BaseLanguageClient, Middleware } from 'vscode-languageclient';
import { Earlier } from './earlier.ts';
import { ReviewPanel } from './review-panel.ts';

/** Changes since the last commit, as what they do to the paint: above the formulas, in hover, and in a panel. */
export function reviewOfChanges(
  context: vscode.ExtensionContext,
  client: BaseLanguageClient,
  log: vscode.LogOutputChannel,
): vscode.Disposable {
  const earlier = new Earlier(client, log);
  return vscode.Disposable.from(
    earlier,
    new ReviewPanel(context, client, earlier),
    vscode.workspace.onDidChangeConfiguration((change) => {
      if (change.affectsConfiguration('pourbook.review.aboveFormulas')) showAnew(client);
    }),
  );
}

export const aboveFormulas: Middleware = {
  provideCodeLenses: (document, token, next) =>
    vscode.workspace.getConfiguration('pourbook', document.uri).get('review.aboveFormulas') === false
      ? []
      : next(document, token),
};

function showAnew(client: BaseLanguageClient): void {
  for (const document of vscode.workspace.textDocuments)
    client.getFeature('textDocument/codeLens').getProvider(document)?.onDidChangeCodeLensEmitter.fire();
}
