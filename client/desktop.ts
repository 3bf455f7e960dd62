import type { ExtensionContext } from 'vscode';
import { LanguageClient, TransportKind } from 'vscode-languageclient/node';
import { startPourbook, stopPourbook } from './client.ts';

/** Entry point where the extension host is Node: the server is a process of its own. */
export function activate(context: ExtensionContext): Promise<void> {
  const module = context.asAbsolutePath('dist/server.cjs');
  const server = { module, transport: TransportKind.ipc };
  return startPourbook(
    context,
    (name, options) => new LanguageClient('pourbook', name, { run: server, debug: server }, options),
  );
}

export const deactivate = stopPourbook;
