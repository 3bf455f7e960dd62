import * as vscode from 'vscode';
import { type BaseLanguageClient, NotificationType, State } from 'vscode-languageclient';
import { type Repository, repositoryOf, watchGit } from './git.ts';
import { type GivenVersion, versionAt } from './versions.ts';

const base = new NotificationType<{ folder: string; version: GivenVersion | null }>('pourbook/base');

/** Git tells of a change in bursts. */
const PAUSE = 150;

/** Keeps the server told of the last commit of each folder, so that it can say what the edits since then do to the paint. */
export class Earlier implements vscode.Disposable {
  private readonly listeners: vscode.Disposable[] = [];
  private readonly watched = new Map<Repository, vscode.Disposable>();
  private readonly told = new Map<string, string>();
  private waiting: ReturnType<typeof setTimeout> | undefined;

  constructor(
    private readonly client: BaseLanguageClient,
    private readonly log: vscode.LogOutputChannel,
  ) {
    this.listeners.push(
      client.onDidChangeState(({ newState }) => {
        this.told.clear();
        if (newState === State.Running) this.soon();
      }),
      vscode.workspace.onDidOpenTextDocument(({ languageId }) => languageId === 'pour' && this.soon()),
      vscode.workspace.onDidChangeWorkspaceFolders(() => this.soon()),
      watchGit(() => this.soon()),
    );
  }

  dispose(): void {
    clearTimeout(this.waiting);
    for (const one of [...this.listeners, ...this.watched.values()]) one.dispose();
  }

  private soon(): void {
    clearTimeout(this.waiting);
    this.waiting = setTimeout(() => {
      for (const folder of vscode.workspace.workspaceFolders ?? []) void this.tell(folder);
    }, PAUSE);
  }

  /** Tells the server how things stand now; returns why nothing can be compared, where that is so. */
  async tell(folder: vscode.WorkspaceFolder): Promise<string | undefined> {
    if (!this.client.isRunning()) return vscode.l10n.t('Pourbook is still starting.');
    const repository = await repositoryOf(folder.uri);
    if (typeof repository !== 'string') this.watch(repository);
    const found =
      typeof repository === 'string'
        ? repository
        : await versionAt(repository, folder.uri, repository.state.HEAD!.commit!, 'HEAD').catch((error: Error) => {
            this.log.warn(`git: ${error.message}`);
            return error.message;
          });
    const version = typeof found === 'string' ? null : found;
    const uri = this.client.code2ProtocolConverter.asUri(folder.uri);
    const said = JSON.stringify(version);
    // A folder that never had an earlier version need not be told so.
    if ((this.told.get(uri) ?? 'null') !== said && this.client.isRunning()) {
      this.told.set(uri, said);
      await this.client.sendNotification(base, { folder: uri, version });
    }
    return typeof found === 'string' ? found : undefined;
  }

  private watch(repository: Repository): void {
    for (const known of this.watched.keys()) if (known.rootUri.toString() === repository.rootUri.toString()) return;
    this.watched.set(
      repository,
      repository.state.onDidChange(() => this.soon()),
    );
  }
}
