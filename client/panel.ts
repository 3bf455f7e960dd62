/** A panel beside the text: one strict page, laid out by a script of our own. */
import * as vscode from 'vscode';

export interface PanelPage {
  readonly type: string;
  readonly title: string;
  /** Its script in `dist`. */
  readonly script: string;
  /** Only the theme's colours, so that every theme fits, high contrast too. */
  readonly style: string;
  /** What stands in the body; every word that it holds has gone through `escaped`. */
  readonly body: string;
}

export function openPanel(context: vscode.ExtensionContext, page: PanelPage): vscode.WebviewPanel {
  const dist = vscode.Uri.joinPath(context.extensionUri, 'dist');
  const panel = vscode.window.createWebviewPanel(
    page.type,
    page.title,
    { viewColumn: vscode.ViewColumn.Beside, preserveFocus: true },
    { enableScripts: true, localResourceRoots: [dist], retainContextWhenHidden: true },
  );
  panel.webview.html = html(page, panel.webview.asWebviewUri(vscode.Uri.joinPath(dist, page.script)));
  return panel;
}

export const escaped = (said: string): string =>
  said.replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('"', '&quot;');

/** Nothing but our own script may run, and nothing is loaded from elsewhere. */
function html({ title, style, body }: PanelPage, script: vscode.Uri): string {
  const nonce = Array.from(crypto.getRandomValues(new Uint8Array(16)), (byte) =>
    byte.toString(16).padStart(2, '0'),
  ).join('');
  return `<!doctype html>
<html lang="${escaped(vscode.env.language)}"><head><meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; base-uri 'none'; form-action 'none'; style-src 'nonce-${nonce}'; script-src 'nonce-${nonce}'">
<title>${escaped(title)}</title>
<style nonce="${nonce}">${BASE}${style}</style></head>
<body>
${body}
<script nonce="${nonce}" src="${script}"></script>
</body></html>`;
}

const BASE = `
:root { --line: var(--vscode-contrastBorder, var(--vscode-widget-border, var(--vscode-panel-border, currentColor))); }
body.vscode-dark, body.vscode-high-contrast { color-scheme: dark; } body.vscode-light, body.vscode-high-contrast-light { color-scheme: light; }
body { font: var(--vscode-font-size)/1.45 var(--vscode-font-family); color: var(--vscode-foreground); }
table { border-collapse: collapse; font-variant-numeric: tabular-nums; }
th { text-align: left; font-weight: normal; font-style: italic; }
:focus-visible { outline: 2px solid var(--vscode-focusBorder); outline-offset: 1px; }
`;
