import { expect, test } from 'vitest';
import {
  CodeActionRequest,
  CompletionRequest,
  DefinitionRequest,
  DidChangeWatchedFilesNotification,
  DocumentFormattingRequest,
  DocumentHighlightRequest,
  DocumentSymbolRequest,
  FoldingRangeRequest,
  HoverRequest,
  InlayHintRequest,
  PrepareRenameRequest,
  ReferencesRequest,
  SelectionRangeRequest,
  SemanticTokensRangeRequest,
  SemanticTokensRequest,
  ShutdownRequest,
  SignatureHelpRequest,
} from 'vscode-languageserver-protocol/node';
import type { Change } from '../../../server/book/file.ts';
import { Workspace } from '../../../server/editor/workspace.ts';
import { ENTRIES } from '../book/fragments.ts';
import { FOLDER, type Session, session, textIn } from './session.ts';

const uri = `${FOLDER}/book.pour`;
const BOOK = `toner GRN-2 "Green"\n\nformula SAM-31 "Samphire"\n  target weight 80 g\n  toner GRN-2 41.20\n`;

/** Every request about a place in a file. */
function everyRequest(client: Session['client'], file: string, position: { line: number; character: number }) {
  const textDocument = { uri: file };
  const range = { start: position, end: { line: position.line + 1, character: 0 } };
  const at = { textDocument, position };
  return Promise.all([
    client.sendRequest(HoverRequest.type, at),
    client.sendRequest(DefinitionRequest.type, at),
    client.sendRequest(ReferencesRequest.type, { ...at, context: { includeDeclaration: true } }),
    client.sendRequest(DocumentHighlightRequest.type, at),
    client.sendRequest(PrepareRenameRequest.type, at),
    client.sendRequest(CompletionRequest.type, at),
    client.sendRequest(SignatureHelpRequest.type, at),
    client.sendRequest(SelectionRangeRequest.type, { textDocument, positions: [position] }),
    client.sendRequest(InlayHintRequest.type, { textDocument, range }),
    client.sendRequest(CodeActionRequest.type, { textDocument, range, context: { diagnostics: [] } }),
    client.sendRequest(SemanticTokensRangeRequest.type, { textDocument, range }),
    client.sendRequest(SemanticTokensRequest.type, { textDocument }),
    client.sendRequest(DocumentSymbolRequest.type, { textDocument }),
    client.sendRequest(FoldingRangeRequest.type, { textDocument }),
    client.sendRequest(DocumentFormattingRequest.type, { textDocument, options: { tabSize: 2, insertSpaces: true } }),
  ]);
}

const ODD_PLACES = [
  { line: 0, character: 0 },
  { line: 0, character: 9999 },
  { line: 4, character: 2147483647 },
  { line: 9999, character: 3 },
  { line: 2147483647, character: 2147483647 },
];

test('places out of range are answered, in texts of every kind', async () => {
  const texts = [
    BOOK,
    '',
    '\n',
    '\ufeff',
    '\ufeffformula',
    BOOK.replaceAll('\n', '\r\n'),
    'formula "e\u0301😀" "\ud83d',
    '<<<<<<< ours\n',
  ];
  for (const text of texts) {
    const { client, open, log, end } = await session();
    await open(uri, text);
    for (const position of ODD_PLACES) await everyRequest(client, uri, position);
    expect(log).toEqual([]);
    end();
  }
});

test('files that nobody knows are answered with nothing', async () => {
  const { client, change, close, log, end } = await session();
  for (const unknown of [
    'file:///book/none.pour',
    'untitled:Untitled-1',
    'no uri at all',
    'file:',
    '',
    'file:///book/%E0%A4%A.pour',
  ]) {
    const answers = await everyRequest(client, unknown, { line: 0, character: 0 });
    expect(answers.filter((one) => one !== null && !('data' in one && one.data.length === 0))).toEqual([]);
    await change(unknown, 2, { start: { line: 0, character: 0 }, end: { line: 0, character: 0 }, text: 'x' });
    await close(unknown);
    await client.sendNotification(DidChangeWatchedFilesNotification.type, { changes: [{ uri: unknown, type: 2 }] });
  }
  expect(log).toEqual([]);
  end();
});

test('one file may be spelled in several ways, and is answered as the editor spells it', async () => {
  for (const [opened, asked] of [
    ['file:///c%3A/Book/a.pour', 'file:///C:/Book/a.pour'],
    ['file:///C:/Book/a.pour', 'file:///c%3A/Book/a.pour'],
    ['file:///book/a%20b.pour', 'file:///book/a b.pour'],
    ['file:///book/%23tag.pour', 'file:///book/%23tag.pour'],
    ['file:///book/漆.pour', 'file:///book/%E6%BC%86.pour'],
    ['file:///book/(a)!.pour', 'file:///book/%28a%29%21.pour'],
  ] as const) {
    const { client, open, told, until, end } = await session();
    await open(opened, `${BOOK}  toner NONE 1\n`);
    await until(() => told.has(opened));
    expect([...told.keys()]).toEqual([opened]);
    const at = { textDocument: { uri: asked }, position: { line: 4, character: 10 } };
    const defined = await client.sendRequest(DefinitionRequest.type, at);
    expect(defined).toMatchObject([{ uri: opened }]);
    end();
  }
});

test('a file that is read from disk and opened under another spelling is one file', async () => {
  const [disk, spelled] = ['file:///book/a%20b.pour', 'file:///book/a b.pour'];
  const { open, close, told, until, end } = await session({ files: { 'a%20b.pour': `${BOOK}  toner NONE 1\n` } });
  const missing = (file: string) =>
    told
      .get(file)
      ?.flatMap((one) => (one.code === 'name-unknown' ? [one.message] : []))
      .join() ?? '';
  await until(() => missing(disk).includes('NONE'));
  await open(spelled, `${BOOK}  toner OTHER 1\n`);
  await until(() => missing(spelled).includes('OTHER'));
  expect(told.get(disk)).toEqual([]);
  await close(spelled);
  await until(() => told.get(spelled)?.length === 0 && missing(disk).includes('NONE'));
  end();
});

test('places count UTF-16 units, behind a BOM, CRLF, emoji and combining marks', async () => {
  for (const [before, wanted] of [
    ['\ufeff', 'GRN-9'],
    ['\ufeff# 😀😀\r\n\r\n', 'GRN-9'],
    ['# e\u0301 🏴\u200d☠️\n', 'GRN-9'],
  ] as const) {
    const text = `${before}formula F "漆 😀 e\u0301" # 🎨\r\n  note "😀" # x\r\n  toner GRN-9 1 # 😀\r\n`;
    const { open, told, until, end } = await session();
    await open(uri, text);
    await until(() => told.get(uri)?.some((one) => one.code === 'name-unknown') === true);
    const found = told.get(uri)!.find((one) => one.code === 'name-unknown')!;
    expect(textIn(text, found.range)).toBe(wanted);
    end();
  }
});

test('a handler that fails answers nothing and logs one line, and the server goes on', async () => {
  let broken = true;
  const ports = {
    listFiles: async (): Promise<string[]> => {
      if (broken) throw new Error('the disk is gone\nand more');
      return [];
    },
    readFile: async (): Promise<Uint8Array | undefined> => {
      throw new Error('the disk is gone');
    },
  };
  const { client, open, close, log, told, until, end } = await session({ ports });
  await until(() => log.length === 1);
  expect(log[0]).toMatch(/^reading a folder failed: Error: the disk is gone/);
  expect(log[0]).not.toContain('\n');
  broken = false;
  await open(uri, `${BOOK}reading R "x"\n  file "r.csv"\n`);
  await until(() => log.length === 2);
  expect(log[1]).toMatch(/^reading open-format files failed/);
  await close(uri);
  await until(() => log.length === 3);
  expect(log[2]).toMatch(/^close failed/);
  await open(uri, `${BOOK}  toner\n`);
  await until(() => (told.get(uri)?.length ?? 0) > 0);
  expect(
    await client.sendRequest(HoverRequest.type, { textDocument: { uri }, position: { line: 2, character: 9 } }),
  ).not.toBeNull();
  end();
});

test('a nonsensical request is an answer too', async () => {
  const { client, open, log, until, end } = await session();
  await open(uri, BOOK);
  const nonsense = { textDocument: { uri }, position: null };
  expect(await client.sendRequest('textDocument/hover', nonsense)).toBeNull();
  expect(await client.sendRequest('textDocument/completion', { textDocument: { uri: 7 } })).toBeNull();
  await until(() => log.length === 1);
  expect(log[0]).toMatch(/^hover failed: /);
  await client.sendRequest(HoverRequest.type, { textDocument: { uri }, position: { line: 0, character: 0 } });
  end();
});

test('the server shuts down when it is asked to, in the middle of its work', async () => {
  const { client, open, end } = await session({ files: { 'book.pour': BOOK } });
  void open(uri, BOOK);
  expect(await client.sendRequest(ShutdownRequest.type)).toBeNull();
  end();
});

/** The same numbers in every run: the minimal standard generator of Park and Miller. */
function randomFrom(seed: number): (below: number) => number {
  let state = seed;
  return (below) => {
    state = (state * 48271) % 2147483647;
    return state % below;
  };
}

const PIECES = [
  ...ENTRIES,
  '',
  '\n',
  '\r\n',
  ' ',
  '#',
  '"',
  '😀',
  'e\u0301',
  '漆',
  '\ufeff',
  'toner ',
  '\n  toner BLK-1 1\n',
  '<<<<<<< a\n',
  '=======\n',
  '>>>>>>> b\n',
  '\t',
  '.5',
  '/x',
];

/** A change of the text and what becomes of it; positions may lie beyond line ends and the end of the file. */
function randomChange(text: string, random: (below: number) => number): { change: Change; text: string } {
  const lines = text.split('\n');
  const place = () => ({ line: random(lines.length + 2), character: random(40) });
  let [start, end] = [place(), place()];
  if (random(4) > 0) end = { line: start.line, character: start.character + random(5) };
  let piece = PIECES[random(PIECES.length)]!;
  if (text.length > 12_000) {
    [start, end] = [
      { line: random(20), character: 0 },
      { line: lines.length - random(20), character: 0 },
    ];
    piece = '';
  }
  let [from, to] = [clamped(lines, start), clamped(lines, end)];
  if (from > to) {
    [start, end] = [end, start];
    [from, to] = [to, from];
  }
  return { change: { range: { start, end }, text: piece }, text: text.slice(0, from) + piece + text.slice(to) };
}

function clamped(lines: readonly string[], { line, character }: { line: number; character: number }): number {
  const before = lines.slice(0, line).reduce((sum, one) => sum + one.length + 1, 0);
  if (line >= lines.length) return before - 1;
  const own = lines[line]!;
  const isLast = line === lines.length - 1;
  const length = !isLast && own.endsWith('\r') ? own.length - 1 : own.length;
  return before + Math.min(character, length);
}

test('places that are none, and changes without a text, are refused, and the text stays as it was', {
  timeout: 30_000,
}, async () => {
  const { client, open, log, end } = await session();
  await open(uri, BOOK);
  const none = [
    { line: 'a', character: 0 },
    { line: -1, character: 0 },
    { line: 0.5, character: 0 },
    { line: 1 },
    'x',
    null,
  ];
  const requests = ['completion', 'hover', 'signatureHelp', 'definition', 'prepareRename', 'documentHighlight'];
  for (const position of none)
    for (const request of requests)
      expect(await client.sendRequest(`textDocument/${request}`, { textDocument: { uri }, position })).toBeNull();
  const start = { line: 0, character: 0 };
  for (const change of [{}, { text: 5 }, ...none.map((to) => ({ range: { start, end: to }, text: 'x' }))])
    await client.sendNotification('textDocument/didChange', {
      textDocument: { uri, version: 2 },
      contentChanges: [change],
    });
  const at = { textDocument: { uri }, position: { line: 2, character: 9 } };
  expect(JSON.stringify(await client.sendRequest(HoverRequest.type, at))).toContain('Samphire');
  expect(log.every((line) => /^[a-z ]+ failed: TypeError: '[a-zA-Z]+' is /.test(line))).toBe(true);
  expect(log.length).toBe(none.length * requests.length + none.length + 2);
  end();
});

const noPorts = { listFiles: async () => [], readFile: async () => undefined, pause: async () => undefined };

test('ten thousand random edits give the text of the same edits on a string, and the findings of that text', () => {
  const random = randomFrom(20261014);
  const workspace = new Workspace(noPorts);
  let text = ENTRIES.join('\n');
  workspace.openFile(uri, 1, text);
  for (let edit = 1; edit <= 10_000; edit++) {
    const next = randomChange(text, random);
    workspace.edit(uri, edit + 1, [next.change]);
    text = next.text;
    if (edit % 100 === 0) expect(workspace.at(uri)!.file.text).toBe(text);
    if (edit % 500 === 0) workspace.problems(uri)!.look();
  }
  const problems = workspace.problems(uri)!;
  problems.look();
  const fresh = new Workspace(noPorts);
  fresh.openFile(uri, 1, text);
  fresh.problems(uri)!.look();
  expect(problems.report().items).toEqual(fresh.problems(uri)!.report().items);
  expect(text.length).toBeGreaterThan(0);
}, 120_000);

test('the same through the protocol, several changes to a message', async () => {
  const random = randomFrom(7);
  const { client, open, told, tellings, until, end } = await session();
  let text = ENTRIES.join('\n');
  await open(uri, text);
  let version = 1;
  while (version < 200) {
    const contentChanges: Change[] = [];
    for (let count = 1 + random(3); count > 0; count--) {
      const next = randomChange(text, random);
      contentChanges.push(next.change);
      text = next.text;
    }
    version++;
    await client.sendNotification('textDocument/didChange', { textDocument: { uri, version }, contentChanges });
  }
  await client.sendNotification('textDocument/didChange', { textDocument: { uri, version: 201 }, contentChanges: [] });
  await until(() => tellings.some((one) => one.version === 201));
  await new Promise((resolve) => setTimeout(resolve, 200));
  const fresh = await session();
  await fresh.open(uri, text);
  await fresh.until(() => fresh.told.has(uri));
  await new Promise((resolve) => setTimeout(resolve, 200));
  expect(told.get(uri)).toEqual(fresh.told.get(uri));
  end();
  fresh.end();
}, 60_000);
