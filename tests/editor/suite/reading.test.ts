import { assert } from 'chai';
import * as vscode from 'vscode';
import { hoverText, placeOf, show } from './documents.ts';
import { test } from './runner.ts';
import { until } from './until.ts';

async function hoverAt(document: vscode.TextDocument, place: vscode.Position): Promise<string> {
  return until('a hover', async () =>
    hoverText(await vscode.commands.executeCommand<vscode.Hover[]>('vscode.executeHoverProvider', document.uri, place)),
  );
}

function hintText({ label }: vscode.InlayHint): string {
  return typeof label === 'string' ? label : label.map((part) => part.value).join('');
}

test('A formula is hovered with its grey and its pours', async () => {
  const { document } = await show('samphire.pour');
  const text = await hoverAt(document, placeOf(document, 'formula SAM-31', 10));
  for (const part of ['SEAL', 'N5', 'GRN-2', '103.0', '250']) assert.include(text, part);
  assert.isBelow(text.indexOf('SEAL'), text.indexOf('GRN-2'), 'the undercoat stands first');
  assert.notMatch(text, /NaN|undefined/);
});

test('A figure is hovered with where it comes from', async () => {
  const { document } = await show('samphire.pour');
  const text = await hoverAt(document, placeOf(document, '41.20', 2));
  assert.isNotEmpty(text);
  assert.notMatch(text, /NaN|undefined/);
});

test('Toner lines carry grams and the running total', async () => {
  const { document } = await show('samphire.pour');
  const hints = await until('hints', async () => {
    const all = await vscode.commands.executeCommand<vscode.InlayHint[]>(
      'vscode.executeInlayHintProvider',
      document.uri,
      new vscode.Range(0, 0, document.lineCount, 0),
    );
    return all.length > 0 ? all : undefined;
  });
  const at = (text: string) => {
    const { line } = placeOf(document, text);
    return hints
      .filter((hint) => hint.position.line === line)
      .map(hintText)
      .join(' ');
  };
  assert.include(at('toner GRN-2  41.20'), '103.0');
  assert.include(at('toner BND-0  34.95'), '250.0');
});

test('Words are coloured by their meaning', async () => {
  const { document } = await show('samphire.pour');
  const tokens = await until('tokens', async () => {
    const all = await vscode.commands.executeCommand<vscode.SemanticTokens | undefined>(
      'vscode.provideDocumentSemanticTokens',
      document.uri,
    );
    return all && all.data.length > 0 ? all : undefined;
  });
  assert.equal(tokens.data.length % 5, 0);
});

test('The outline names the entries', async () => {
  const { document } = await show('samphire.pour');
  const names = await until('symbols', async () => {
    const all = await vscode.commands.executeCommand<vscode.DocumentSymbol[]>(
      'vscode.executeDocumentSymbolProvider',
      document.uri,
    );
    return all?.length ? all.map((symbol) => symbol.name) : undefined;
  });
  for (const id of ['SAM-door', 'SAM-31', 'SAM-31/dark', 'SAM-31-card']) {
    assert.isTrue(
      names.some((name) => name.includes(id)),
      `${id} among ${names.join(', ')}`,
    );
  }
});

test('An entry of another file is found by its name', async () => {
  const found = await until('the toner', async () => {
    const all = await vscode.commands.executeCommand<vscode.SymbolInformation[]>(
      'vscode.executeWorkspaceSymbolProvider',
      'BLK-1',
    );
    return all.find((symbol) => symbol.location.uri.path.endsWith('toners.pour'));
  });
  assert.include(found.name, 'BLK-1');
});

test('Entries fold', async () => {
  const { document } = await show('samphire.pour');
  const line = placeOf(document, 'formula SAM-31').line;
  await until('the fold of the formula', async () => {
    const folds = await vscode.commands.executeCommand<vscode.FoldingRange[]>(
      'vscode.executeFoldingRangeProvider',
      document.uri,
    );
    return folds?.some((fold) => fold.start === line);
  });
});
