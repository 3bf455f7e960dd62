import * as vscode from 'vscode';
import type { BaseLanguageClient, LanguageClientOptions } from 'vscode-languageclient';
import { answerFileRequests } from './files.ts';
import { manualPages, PAGES } from './manual.ts';
import { aboveFormulas, reviewOfChanges } from './review.ts';
import { sheetPanel } from './sheet-panel.ts';
import { showServerState } from './status.ts';

/** What differs between the desktop and the browser: how the language server is reached. */
export type ServerConnection = (
  name: string,
  options: LanguageClientOptions,
) => BaseLanguageClient | Promise<BaseLanguageClient>;

let running: BaseLanguageClient | undefined;

/** Starts the language server and everything of the extension that is the same on every host. */
export async function startPourbook(context: vscode.ExtensionContext, connect: ServerConnection): Promise<void> {
  const log = vscode.window.createOutputChannel('Pourbook', { log: true });
  const watched = ['**/*.pour', '**/*.{cgats,cxf,csv}', '**/optics.lock'].map((files) =>
    vscode.workspace.createFileSystemWatcher(files),
  );
  const client = await connect('Pourbook', {
    // No scheme: a book may lie on disk, in a remote repository or in a buffer that was never saved.
    documentSelector: [{ language: 'pour' }],
    outputChannel: log,
    synchronize: { fileEvents: watched },
    markdown: { supportHtml: true },
    middleware: aboveFormulas,
    // Snippets come from the server and not from the manifest: VS Code would offer those in the middle of a line, too.
    initializationOptions: { suggestAgain: 'editor.action.triggerSuggest', pages: PAGES, files: true },
  });
  running = client;

  context.subscriptions.push(
    log,
    ...watched,
    showServerState(client),
    answerFileRequests(client),
    manualPages(client),
    sheetPanel(context, client),
    reviewOfChanges(context, client, log),
    vscode.commands.registerCommand('pourbook.restartServer', () => restart(client, log)),
    vscode.commands.registerCommand('pourbook.showLog', () => log.show()),
  );
  await vscode.commands.executeCommand('setContext', 'pourbook.active', true);
  await client.start();
}

/** VS Code waits for this before it closes, so that the server ends with its window. */
export async function stopPourbook(): Promise<void> {
  const client = running;
  running = undefined;
  if (client?.needsStop()) await client.stop();
}

async function restart(client: BaseLanguageClient, log: vscode.LogOutputChannel): Promise<void> {
  try {
    if (client.needsStop()) await client.stop();
    await client.start();
  } catch (error) {
    log.error(`The server could not be restarted: ${error instanceof Error ? error.message : String(error)}`);
    log.show();
  }
}
