import * as vscode from 'vscode';
import { base64 } from './files.ts';
import { ADDED, type Change, type Repository, UNTRACKED } from './git.ts';

/** A version of a book as the server takes it: its files where they differ from those on the disk, and those that are open. */
export interface GivenVersion {
  readonly label: string;
  readonly commit: string | null;
  readonly files: readonly { readonly uri: string; readonly base64: string | null }[];
}

/** What was read of commits, by commit and path; a commit never changes. */
const read = new Map<string, string | null>();
const MOST_READ = 2000;

export async function versionAt(
  repository: Repository,
  folder: vscode.Uri,
  commit: string,
  label: string,
): Promise<GivenVersion> {
  const wanted = new Map<string, vscode.Uri>();
  const absent = new Set<string>();
  const take = (uri: vscode.Uri, isAbsent: boolean) => {
    if (!belongs(folder, uri)) return;
    wanted.set(uri.toString(), uri);
    if (isAbsent) absent.add(uri.toString());
  };
  for (const { uri, originalUri, renameUri, status } of await repository.diffWith(commit)) {
    take(originalUri, status === ADDED);
    if (renameUri && renameUri.toString() !== originalUri.toString()) take(renameUri, true);
    else take(uri, status === ADDED);
  }
  for (const { uri } of untracked(repository)) take(uri, true);
  for (const { uri, languageId } of vscode.workspace.textDocuments) if (languageId === 'pour') take(uri, false);
  const files = [...wanted].map(async ([key, uri]) => ({
    uri: key,
    base64: absent.has(key) ? null : await fileAt(repository, commit, uri),
  }));
  return { label, commit, files: (await Promise.all(files)).sort((a, b) => (a.uri < b.uri ? -1 : 1)) };
}

export interface CommitHead {
  readonly hash: string;
  readonly author: string;
  /** ISO 8601. */
  readonly date: string;
  readonly subject: string;
}

/** The commits of `to` that changed the book since `from`, newest first. */
export async function commitsBetween(
  repository: Repository,
  folder: vscode.Uri,
  from: string,
  to: string,
): Promise<CommitHead[]> {
  const below = folder.path.slice(repository.rootUri.path.length).replace(/^\/|\/$/g, '');
  const path = `:(top,glob)${below === '' ? '' : `${below}/`}**/*.pour`;
  const commits = await repository.log({ range: `${from}..${to}`, path }).catch(() => []);
  return commits.map(({ hash, message, authorName = '', authorDate }) => ({
    hash,
    author: authorName,
    date: authorDate?.toISOString() ?? '',
    subject: message.split('\n', 1)[0] ?? '',
  }));
}

/** An open file that git ignores has no earlier version either. */
async function fileAt(repository: Repository, commit: string, uri: vscode.Uri): Promise<string | null> {
  const key = `${commit} ${uri}`;
  if (!read.has(key)) {
    if (read.size >= MOST_READ) read.clear();
    const bytes = await repository.buffer(commit, uri.fsPath).catch(() => undefined);
    read.set(key, bytes ? base64(bytes) : null);
  }
  return read.get(key) ?? null;
}

function untracked({ state }: Repository): Change[] {
  return [...state.workingTreeChanges, ...(state.untrackedChanges ?? [])].filter(({ status }) => status === UNTRACKED);
}

/** As the server lists a book: no hidden folders, nothing that tools install; open-format files and optics.lock beside it. */
export function belongs(folder: vscode.Uri, uri: vscode.Uri): boolean {
  const root = folder.path.replace(/\/?$/, '/');
  if (uri.scheme !== folder.scheme || !uri.path.startsWith(root)) return false;
  const path = uri.path.slice(root.length);
  if (/(^|\/)(\.[^/]*|node_modules|dist)\//.test(path)) return false;
  return path === 'optics.lock' || /\.(pour|cgats|cxf|csv)$/i.test(path);
}
