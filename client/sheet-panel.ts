import * as vscode from 'vscode';
import { type BaseLanguageClient, RequestType } from 'vscode-languageclient';
import { escaped, openPanel } from './panel.ts';
import type { Asked, Shown } from './sheet-view.ts';

interface Params extends Asked {
  readonly textDocument: { readonly uri: string };
  readonly position: { readonly line: number; readonly character: number };
}

const sheetRequest = new RequestType<Params, Shown | null, void>('pourbook/sheet');

/** Long enough that a burst of keys asks once, short enough to follow the hand. */
const PAUSE = 80;

/** The pour sheet beside the text: it follows the cursor and every keystroke. */
export function sheetPanel(context: vscode.ExtensionContext, client: BaseLanguageClient): vscode.Disposable {
  let panel: vscode.WebviewPanel | undefined;
  let asked: Asked = {};
  let last = vscode.window.activeTextEditor;
  let waiting: ReturnType<typeof setTimeout> | undefined;
  let latest = 0;

  const update = async () => {
    if (!panel || !client.isRunning()) return; // it is asked for again as soon as the server is there
    const turn = ++latest;
    last = bookEditor(last);
    const shown = last ? await sheetOf(client, last, asked) : nothing();
    if (turn === latest && shown) await panel?.webview.postMessage(shown);
  };
  const soon = () => {
    clearTimeout(waiting);
    waiting = setTimeout(update, PAUSE);
  };

  const open = () => {
    // Behind the text it would be of no use.
    if (panel) panel.reveal(panel.visible ? undefined : vscode.ViewColumn.Beside, true);
    else {
      panel = newPanel(context);
      panel.webview.onDidReceiveMessage((message: Asked) => {
        asked = { amount: String(message.amount ?? ''), unit: String(message.unit ?? 'g') };
        soon();
      });
      panel.onDidDispose(() => {
        panel = undefined;
        asked = {};
      });
    }
    soon();
  };

  return vscode.Disposable.from(
    vscode.commands.registerCommand('pourbook.showSheet', open),
    client.onDidChangeState(soon),
    vscode.window.onDidChangeActiveTextEditor((active) => {
      if (active?.document.languageId === 'pour') soon();
    }),
    vscode.window.onDidChangeTextEditorSelection((event) => {
      if (event.textEditor === last) soon();
    }),
    vscode.workspace.onDidChangeTextDocument((event) => {
      if (event.document.languageId === 'pour') soon();
    }),
    { dispose: () => panel?.dispose() },
  );
}

/** The editor that is looked at, as far as it holds a book: else the one before, else one that is in sight. */
function bookEditor(last: vscode.TextEditor | undefined): vscode.TextEditor | undefined {
  const { activeTextEditor, visibleTextEditors } = vscode.window;
  const seen = visibleTextEditors.filter(({ document }) => document.languageId === 'pour');
  return [activeTextEditor, last].find((one) => one && seen.includes(one)) ?? seen[0];
}

const nothing = (): Shown => ({
  problem: vscode.l10n.t('Open a file of a book and put the cursor into a formula, a variant or a batch.'),
});

/** Nothing while the server is just starting again. */
function sheetOf(
  client: BaseLanguageClient,
  { document, selection }: vscode.TextEditor,
  asked: Asked,
): Promise<Shown | null> {
  const textDocument = client.code2ProtocolConverter.asTextDocumentIdentifier(document);
  const position = client.code2ProtocolConverter.asPosition(selection.active);
  return client.sendRequest(sheetRequest, { textDocument, position, ...asked }).catch(() => null);
}

function newPanel(context: vscode.ExtensionContext): vscode.WebviewPanel {
  const units = ['g', 'kg', 'ml', 'l', 'm2'].map((unit) => `<option>${unit}</option>`).join('');
  return openPanel(context, {
    type: 'pourbook.sheet',
    title: vscode.l10n.t('Pour sheet'),
    script: 'sheet-view.js',
    style: STYLE,
    body: `<form id="amount">
<label>${escaped(vscode.l10n.t('Amount'))} <input id="number" inputmode="decimal" size="7" autocomplete="off" placeholder="${escaped(vscode.l10n.t('target'))}"></label>
<select id="unit" aria-label="${escaped(vscode.l10n.t('Unit'))}">${units}</select>
</form>
<p id="next" role="status" aria-live="polite" data-all-in="${escaped(vscode.l10n.t('All in.'))}" data-until="${escaped(vscode.l10n.t('until the scale shows'))}"></p>
<main id="sheet" data-poured="${escaped(vscode.l10n.t('poured'))}" data-shows="${escaped(vscode.l10n.t('scale shows'))}" data-pour="${escaped(vscode.l10n.t('this pour'))}" data-name="${escaped(vscode.l10n.t('name'))}"></main>`,
  });
}

const STYLE = `
body { padding: .6rem 1rem 2rem; max-width: 46rem; }
h1 { font-size: 1.35em; margin: .6rem 0 0; } h2 { font-size: 1em; margin: 1.1rem 0 .2rem; border-bottom: 1px solid var(--line); }
#next { font-size: 1.5em; font-weight: 600; margin: .7rem 0; min-height: 1.45em; }
table { width: 100%; }
th { padding-right: .8rem; }
td { padding: .15rem .8rem .15rem 0; } tbody tr + tr td { border-top: 1px solid var(--line); }
th.n, td.n { text-align: right; } td.lead { font-size: 1.25em; font-weight: 600; }
tr.done td { text-decoration: line-through; font-weight: normal; }
label.code { font-weight: 600; white-space: nowrap; } p { margin: .25rem 0; }
input, select { font: inherit; color: var(--vscode-input-foreground); background: var(--vscode-input-background); border: 1px solid var(--vscode-contrastBorder, var(--vscode-input-border, var(--vscode-foreground))); padding: .15rem .3rem; }
input::placeholder { color: var(--vscode-input-placeholderForeground); opacity: 1; }
input[type=checkbox] { width: 1.1em; height: 1.1em; vertical-align: -2px; accent-color: var(--vscode-foreground); }
.cautions { font-size: .9em; }
`;
