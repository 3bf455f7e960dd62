import * as vscode from 'vscode';
import { type BaseLanguageClient, NotificationType, RequestType } from 'vscode-languageclient';
import type { Earlier } from './earlier.ts';
import { gitOfEditor, repositoryOf } from './git.ts';
import { escaped, openPanel } from './panel.ts';
import { type Chosen, chooseVersions } from './review-choice.ts';
import type { Asked, PlaceShown, Shown } from './review-view.ts';
import { type CommitHead, commitsBetween, type GivenVersion, versionAt } from './versions.ts';

interface Params {
  readonly folder: string;
  readonly before?: GivenVersion | undefined;
  readonly after?: GivenVersion | undefined;
  readonly commits?: readonly CommitHead[];
}

const reviewRequest = new RequestType<Params, Shown, void>('pourbook/review');
const moved = new NotificationType<{ folder: string }>('pourbook/reviewMoved');

/** A review is told anew when the typing pauses. */
const PAUSE = 400;

/** What is compared; without versions the files as they are with the last commit. */
interface Compared {
  readonly folder: vscode.WorkspaceFolder;
  readonly before?: Chosen | undefined;
  readonly after?: Chosen | undefined;
}

/** Changes to the book beside the text: a short list first, then what each does to the paint. */
export class ReviewPanel implements vscode.Disposable {
  private panel: vscode.WebviewPanel | undefined;
  private compared: Compared | undefined;
  private shown: Shown | undefined;
  private waiting: ReturnType<typeof setTimeout> | undefined;
  private latest = 0;
  private readonly listeners: vscode.Disposable[];

  constructor(
    private readonly context: vscode.ExtensionContext,
    private readonly client: BaseLanguageClient,
    private readonly earlier: Earlier,
  ) {
    this.listeners = [
      vscode.commands.registerCommand('pourbook.reviewChanges', (folder?: unknown, formula?: unknown) =>
        this.reviewChanges(text(folder), text(formula)),
      ),
      vscode.commands.registerCommand('pourbook.reviewAgainst', () => this.reviewAgainst()),
      vscode.commands.registerCommand('pourbook.copyReview', () => this.copy()),
      vscode.workspace.onDidChangeTextDocument(({ document }) => document.languageId === 'pour' && this.soon()),
      client.onNotification(moved, () => this.soon()),
    ];
  }

  dispose(): void {
    clearTimeout(this.waiting);
    for (const one of this.listeners) one.dispose();
    this.panel?.dispose();
  }

  /** Returns why there is no review, where that is so. */
  private async reviewChanges(uri?: string, formula?: string): Promise<string | undefined> {
    const folder = folderOf(uri);
    if (!folder) return this.tell(vscode.l10n.t('Open the folder of the book first.'));
    const problem = await this.earlier.tell(folder);
    if (problem) return this.tell(problem);
    await this.show({ folder }, formula);
    return undefined;
  }

  private async reviewAgainst(): Promise<string | undefined> {
    const folder = folderOf(this.compared?.folder.uri.toString());
    if (!folder) return this.tell(vscode.l10n.t('Open the folder of the book first.'));
    const repository = await repositoryOf(folder.uri);
    if (typeof repository === 'string') return this.tell(repository);
    const chosen = await chooseVersions(repository);
    if (chosen) await this.show({ folder, ...chosen });
    return undefined;
  }

  /** Returns what it has put on the clipboard. */
  private async copy(): Promise<string | undefined> {
    if (!this.panel) {
      const folder = folderOf();
      const problem = folder ? await this.earlier.tell(folder) : vscode.l10n.t('Open the folder of the book first.');
      if (problem || !folder) {
        this.tell(problem ?? '');
        return undefined;
      }
      this.compared = { folder };
    }
    const shown = await this.review();
    if (!shown || 'problem' in shown) {
      if (shown) this.tell(shown.problem);
      return undefined;
    }
    await vscode.env.clipboard.writeText(shown.markdown);
    vscode.window.setStatusBarMessage(vscode.l10n.t('The review is on the clipboard as Markdown.'), 4000);
    return shown.markdown;
  }

  private tell(problem: string): string {
    void vscode.window.showInformationMessage(problem);
    return problem;
  }

  private async show(compared: Compared, formula?: string): Promise<void> {
    this.compared = compared;
    this.panel ??= this.open();
    this.panel.reveal(undefined, true);
    await this.update();
    if (formula !== undefined) await this.panel?.webview.postMessage({ formula });
  }

  private open(): vscode.WebviewPanel {
    const panel = openPanel(this.context, {
      type: 'pourbook.review',
      title: vscode.l10n.t('Review of the book'),
      script: 'review-view.js',
      style: STYLE,
      body: body(),
    });
    panel.webview.onDidReceiveMessage((asked: Asked) => this.asked(asked));
    panel.onDidChangeViewState(() => panel.visible && this.soon());
    panel.onDidDispose(() => {
      this.panel = undefined;
      this.shown = undefined;
    });
    return panel;
  }

  private async asked(asked: Asked): Promise<void> {
    if (asked.do === 'ready' && this.shown) await this.panel?.webview.postMessage(this.shown);
    else if (asked.do === 'copy') await vscode.commands.executeCommand('pourbook.copyReview');
    else if (asked.do === 'choose') await vscode.commands.executeCommand('pourbook.reviewAgainst');
    else if (asked.do === 'open') await this.goTo(asked.place);
  }

  private async goTo({ uri, line, version }: PlaceShown): Promise<void> {
    const file = vscode.Uri.parse(uri);
    const { before, after } = this.compared ?? {};
    const commit = version === 'after' ? after?.commit : (before?.commit ?? 'HEAD');
    const git = commit === undefined ? undefined : await gitOfEditor();
    const shownAs = git && typeof git !== 'string' && commit !== undefined ? git.toGitUri(file, commit) : file;
    const document = await vscode.workspace.openTextDocument(shownAs);
    const at = new vscode.Position(Math.min(line, document.lineCount) - 1, 0);
    const open = vscode.window.visibleTextEditors.find((one) => one.document === document);
    await vscode.window.showTextDocument(document, {
      viewColumn: open?.viewColumn ?? vscode.ViewColumn.One,
      selection: new vscode.Range(at, at),
    });
  }

  private soon(): void {
    if (!this.panel?.visible) return;
    clearTimeout(this.waiting);
    this.waiting = setTimeout(() => void this.update(), PAUSE);
  }

  private async update(): Promise<void> {
    const turn = ++this.latest;
    const shown = await this.review().catch(() => undefined); // the server may just be starting again
    if (turn !== this.latest || !shown) return;
    this.shown = shown;
    await this.panel?.webview.postMessage(shown);
  }

  private async review(): Promise<Shown | undefined> {
    if (!this.compared || !this.client.isRunning()) return undefined;
    const { folder, before, after } = this.compared;
    const uri = this.client.code2ProtocolConverter.asUri(folder.uri);
    if (!before) return this.client.sendRequest(reviewRequest, { folder: uri });
    const repository = await repositoryOf(folder.uri);
    if (typeof repository === 'string') return { problem: repository };
    const at = ({ commit, label }: Chosen) => versionAt(repository, folder.uri, commit, label);
    return this.client.sendRequest(reviewRequest, {
      folder: uri,
      before: await at(before),
      after: after && (await at(after)),
      commits: await commitsBetween(repository, folder.uri, before.commit, after?.commit ?? 'HEAD'),
    });
  }
}

const text = (value: unknown): string | undefined => (typeof value === 'string' ? value : undefined);

/** The folder with this address, else that of the file in front, else the first. */
function folderOf(uri?: string): vscode.WorkspaceFolder | undefined {
  const folders = vscode.workspace.workspaceFolders ?? [];
  const plain = (one: vscode.Uri) => one.toString().replace(/\/$/, '');
  const named = uri && folders.find((one) => plain(one.uri) === plain(vscode.Uri.parse(uri)));
  const document = vscode.window.activeTextEditor?.document.uri;
  return named || (document && vscode.workspace.getWorkspaceFolder(document)) || folders[0];
}

function body(): string {
  const words = {
    copy: vscode.l10n.t('Copy as Markdown'),
    choose: vscode.l10n.t('Other versions …'),
    changed: vscode.l10n.t('Changed formulas'),
    lines: vscode.l10n.t('Go to the lines'),
    before: vscode.l10n.t('before'),
    now: vscode.l10n.t('now'),
    same: vscode.l10n.t('as before'),
    entries: vscode.l10n.t('Other entries that say something else'),
  };
  return `<header><h1 id="title"></h1><p id="sum" role="status" aria-live="polite"></p><p id="buttons"></p></header>
<main id="review" data-words="${escaped(JSON.stringify(words))}"></main>`;
}

const STYLE = `
body { padding: .6rem 1rem 3rem; max-width: 52rem; }
h1 { font-size: 1.25em; margin: .6rem 0 0; } h2 { font-size: 1.05em; margin: 1.6rem 0 .3rem; padding-bottom: .2rem; border-bottom: 1px solid var(--line); }
h3 { font-size: 1em; font-weight: normal; font-style: italic; margin: .8rem 0 .2rem; } p { margin: .3rem 0; }
button { font: inherit; color: var(--vscode-button-secondaryForeground, inherit); background: var(--vscode-button-secondaryBackground, transparent); border: 1px solid var(--vscode-contrastBorder, transparent); padding: .2rem .7rem; cursor: pointer; }
button:hover { background: var(--vscode-button-secondaryHoverBackground, transparent); }
ol { list-style: none; margin: .4rem 0; padding: 0; } li { border-top: 1px solid var(--line); }
button.row { display: grid; grid-template-columns: 1fr max-content; gap: 0 1rem; width: 100%; text-align: left; color: inherit; background: none; border-color: transparent; padding: .35rem .4rem; }
button.row:hover { background: var(--vscode-list-hoverBackground); }
button.row[aria-current=true] { background: var(--vscode-list-inactiveSelectionBackground); border-color: var(--vscode-contrastActiveBorder, transparent); }
.row b { font-weight: 600; } .row .status, .note, .same { color: var(--vscode-descriptionForeground); }
.callout { border-left: 3px solid var(--vscode-foreground); padding-left: .6rem; font-weight: 600; }
.row .line, .row .callout { grid-column: 1 / -1; } .row .callout { border: 0; padding: 0; font-size: .95em; }
table + table { margin-top: 1rem; }
th, td { padding: .15rem 1rem .15rem 0; vertical-align: top; }
td { border-top: 1px solid var(--line); } tr.marked td { font-weight: 600; }
.n { text-align: right; } td:first-child { white-space: nowrap; }
`;
