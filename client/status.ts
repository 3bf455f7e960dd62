import * as vscode from 'vscode';
import { type BaseLanguageClient, State } from 'vscode-languageclient';

/** Shows in the language status whether the server answers, and how to get it back when it does not. */
export function showServerState(client: BaseLanguageClient): vscode.Disposable {
  const item = vscode.languages.createLanguageStatusItem('pourbook.server', { language: 'pour' });
  item.name = vscode.l10n.t('Pourbook server');
  const show = (state: State) => {
    const starting = state === State.Starting;
    const running = state === State.Running;
    item.busy = starting;
    item.severity =
      starting || running ? vscode.LanguageStatusSeverity.Information : vscode.LanguageStatusSeverity.Error;
    item.text = running
      ? vscode.l10n.t('Pourbook is ready')
      : starting
        ? vscode.l10n.t('Pourbook is starting')
        : vscode.l10n.t('Pourbook has stopped');
    item.detail = starting || running ? '' : vscode.l10n.t('Nothing is checked or computed until it is started again.');
    item.command = {
      command: 'pourbook.restartServer',
      title: running ? vscode.l10n.t('Restart') : vscode.l10n.t('Start again'),
    };
  };
  show(client.state);
  return vscode.Disposable.from(
    item,
    client.onDidChangeState((change) => show(change.newState)),
  );
}
