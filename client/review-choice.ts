import * as vscode from 'vscode';
import type { Ref, Repository } from './git.ts';

/** A commit under the name by which it was chosen. */
export interface Chosen {
  readonly label: string;
  readonly commit: string;
}

interface Item extends vscode.QuickPickItem {
  /** Nothing: the files as they are. */
  readonly ref?: string;
}

/** Asks for two versions; nothing when it was called off. `after` is nothing for the files as they are in the editor. */
export async function chooseVersions(
  repository: Repository,
): Promise<{ before: Chosen; after: Chosen | undefined } | undefined> {
  const refs = items(await repository.getRefs({ sort: 'committerdate' }));
  const before = await choose(repository, vscode.l10n.t('Which version was before?'), refs);
  if (!before) return undefined;
  const now: Item = {
    label: vscode.l10n.t('The files as they are'),
    description: vscode.l10n.t('with what is not saved yet'),
  };
  const after = await choose(repository, vscode.l10n.t('Which version came after {0}?', before.label), [now, ...refs]);
  return after && { before: before as Chosen, after: after === NOW ? undefined : after };
}

const NOW: Chosen = { label: '', commit: '' };
const TYPES = ['git-branch', 'cloud', 'tag'];

function items(refs: readonly Ref[]): Item[] {
  const named = refs.flatMap(({ name, commit, type }): Item[] =>
    name
      ? [{ label: `$(${TYPES[type] ?? 'git-commit'}) ${name}`, description: commit?.slice(0, 10) ?? '', ref: name }]
      : [],
  );
  return [{ label: '$(git-commit) HEAD', description: vscode.l10n.t('the last commit'), ref: 'HEAD' }, ...named];
}

/** Asks until what was picked or typed is a commit. */
async function choose(repository: Repository, title: string, listed: readonly Item[]): Promise<Chosen | undefined> {
  for (;;) {
    const item = await pick(title, listed);
    if (!item) return undefined;
    if (item.ref === undefined) return NOW;
    const found = item.ref.startsWith('-') ? undefined : await repository.getCommit(item.ref).catch(() => undefined);
    if (found) return { label: item.ref, commit: found.hash };
    await vscode.window.showWarningMessage(vscode.l10n.t('There is no commit "{0}" in this repository.', item.ref));
  }
}

/** A list in which any commit may be typed as well. */
function pick(title: string, listed: readonly Item[]): Promise<Item | undefined> {
  const box = vscode.window.createQuickPick<Item>();
  box.title = title;
  box.placeholder = vscode.l10n.t('A branch or tag, or a commit such as HEAD~3');
  box.matchOnDescription = true;
  box.items = listed;
  box.onDidChangeValue((typed) => {
    const own = typed.trim();
    const known = own === '' || listed.some(({ ref }) => ref === own);
    box.items = known ? listed : [...listed, { label: own, ref: own, alwaysShow: true }];
  });
  return new Promise((resolve) => {
    box.onDidAccept(() => {
      resolve(box.selectedItems[0]);
      box.hide();
    });
    box.onDidHide(() => {
      resolve(undefined);
      box.dispose();
    });
    box.show();
  });
}
