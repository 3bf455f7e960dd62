import * as vscode from 'vscode';

/** The part that is used of the public interface of VS Code's own git extension, version 1. */
interface GitExtension {
  readonly enabled: boolean;
  readonly onDidChangeEnablement: vscode.Event<boolean>;
  getAPI(version: 1): Git;
}

export interface Git {
  readonly state: 'uninitialized' | 'initialized';
  readonly onDidChangeState: vscode.Event<unknown>;
  readonly onDidOpenRepository: vscode.Event<Repository>;
  readonly onDidCloseRepository: vscode.Event<Repository>;
  getRepository(uri: vscode.Uri): Repository | null;
  /** The address of a file as it is in a commit. */
  toGitUri(uri: vscode.Uri, ref: string): vscode.Uri;
}

export interface Change {
  readonly uri: vscode.Uri;
  readonly originalUri: vscode.Uri;
  readonly renameUri?: vscode.Uri | undefined;
  readonly status: number;
}

export interface Ref {
  /** 0 a branch, 1 one of a remote, 2 a tag. */
  readonly type: number;
  readonly name?: string;
  readonly commit?: string;
}

export interface Commit {
  readonly hash: string;
  readonly message: string;
  readonly authorName?: string;
  readonly authorDate?: Date;
}

export interface Repository {
  readonly rootUri: vscode.Uri;
  readonly state: {
    readonly HEAD: { readonly name?: string; readonly commit?: string } | undefined;
    readonly workingTreeChanges: readonly Change[];
    readonly untrackedChanges?: readonly Change[];
    readonly onDidChange: vscode.Event<void>;
  };
  /** What differs between a commit and the files on the disk; files that git does not know are left out. */
  diffWith(ref: string): Promise<Change[]>;
  buffer(ref: string, path: string): Promise<Uint8Array>;
  getCommit(ref: string): Promise<{ readonly hash: string }>;
  log(options: { readonly range: string; readonly path: string }): Promise<Commit[]>;
  getRefs(query: { readonly sort?: 'alphabetically' | 'committerdate' }): Promise<Ref[]>;
}

/** `Status` of the interface: of a diff, a file that the commit does not have; of the state, one that git does not know. */
export const ADDED = 1;
export const UNTRACKED = 7;

const extensionOf = (): vscode.Extension<GitExtension> | undefined => vscode.extensions.getExtension('vscode.git');

/** The editor's git, or why there is none. */
export async function gitOfEditor(): Promise<Git | string> {
  const extension = extensionOf();
  if (!extension && !vscode.workspace.isTrusted)
    return vscode.l10n.t(
      'Git is switched off until you trust this folder, so there is no earlier version to compare with.',
    );
  if (!extension)
    return vscode.l10n.t(
      'This editor has no git here, so there is no earlier version to compare with. Where the files lie on a disk, "pourbook review HEAD" tells the same on the command line.',
    );
  const { enabled, getAPI } = await active(extension);
  if (!enabled)
    return vscode.l10n.t('Git is switched off in this editor (setting git.enabled), so nothing can be compared.');
  return ready(getAPI(1));
}

async function active(extension: vscode.Extension<GitExtension>) {
  const exported = extension.isActive ? extension.exports : await extension.activate();
  return { enabled: exported.enabled, getAPI: (version: 1) => exported.getAPI(version) };
}

/** At the start of the window the repositories are still being looked for. */
function ready(git: Git): Promise<Git> {
  if (git.state === 'initialized') return Promise.resolve(git);
  return new Promise((resolve) => {
    const listener = git.onDidChangeState(() => {
      if (git.state !== 'initialized') return;
      listener.dispose();
      resolve(git);
    });
  });
}

/** The repository in which a folder lies, or why nothing can be compared. */
export async function repositoryOf(folder: vscode.Uri): Promise<Repository | string> {
  const git = await gitOfEditor().catch((error: Error) => error.message);
  if (typeof git === 'string') return git;
  const repository = git.getRepository(folder);
  if (!repository)
    return vscode.l10n.t(
      'Git has no repository open for this folder. If the repository begins in a folder further up, open it by the command "Git: Open Repository".',
    );
  if (!repository.state.HEAD?.commit)
    return vscode.l10n.t('This repository has no commit yet, so there is no earlier version to compare with.');
  return repository;
}

/** Calls back when repositories come or go, and when git itself does: by its setting, or once the folder is trusted. */
export function watchGit(changed: () => void): vscode.Disposable {
  let listeners: vscode.Disposable[] = [];
  const end = () => {
    for (const one of listeners) one.dispose();
    listeners = [];
  };
  const begin = async () => {
    const extension = extensionOf();
    const exported = extension?.isActive ? extension.exports : await extension?.activate();
    end();
    if (!exported) return;
    listeners.push(exported.onDidChangeEnablement(again));
    if (!exported.enabled) return;
    const git = exported.getAPI(1);
    listeners.push(git.onDidOpenRepository(changed), git.onDidCloseRepository(changed));
  };
  const again = () => void begin().then(changed, changed);
  const came = vscode.extensions.onDidChange(() => listeners.length > 0 === (extensionOf() === undefined) && again());
  again();
  return vscode.Disposable.from(came, { dispose: end });
}
