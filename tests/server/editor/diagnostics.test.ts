import { expect, test } from 'vitest';
import {
  CancellationTokenSource,
  DidChangeConfigurationNotification,
  DidChangeWorkspaceFoldersNotification,
  type DocumentDiagnosticReport,
  DocumentDiagnosticRequest,
  type FullDocumentDiagnosticReport,
  WorkspaceDiagnosticRequest,
} from 'vscode-languageserver-protocol/node';
import { Book } from '../../../server/book/book.ts';
import { findingsOfFile } from '../../../server/book/findings.ts';
import { FOLDER, PULL, positionAt, type Session, session, textIn } from './session.ts';

const SHELF = 'toner GRN-2 "Green"\ntoner BND-0 "Binder"\n';
const FORMULA = `formula SAM-31 "Samphire Green"
  target weight 80 g
  toner GRN-2 41.20
  toner BND-0 58.80
`;
const USES_BLACK = FORMULA.replace('GRN-2', 'BLK-1');
const FILES = { 'shelf.pour': SHELF, 'green.pour': FORMULA, 'black.pour': USES_BLACK.replace('SAM-31', 'SAM-32') };

const shelf = `${FOLDER}/shelf.pour`;
const green = `${FOLDER}/green.pour`;
const black = `${FOLDER}/black.pour`;

const codes = (told: Session['told'], uri: string) => (told.get(uri) ?? []).map((one) => one.code);
const isMissing = (told: Session['told'], uri: string) => codes(told, uri).includes('name-unknown');

const pulled = (client: Session['client'], uri: string, previousResultId?: string) =>
  client.sendRequest(DocumentDiagnosticRequest.type, {
    textDocument: { uri },
    ...(previousResultId ? { previousResultId } : {}),
  });
const itemCodes = (report: DocumentDiagnosticReport) =>
  (report as FullDocumentDiagnosticReport).items?.map((one) => one.code);

const wholeShelf = (text: string) => ({ start: { line: 0, character: 0 }, end: { line: 99, character: 0 }, text });

test('files that are not open are told, with the place of the fault', async () => {
  const { told, until, end } = await session({ files: FILES });
  await until(() => isMissing(told, black));
  const found = told.get(black)!.find((one) => one.code === 'name-unknown')!;
  expect(textIn(FILES['black.pour'], found.range)).toBe('BLK-1');
  expect(found).toMatchObject({ source: 'pourbook', severity: 1 });
  expect(isMissing(told, green)).toBe(false);
  end();
});

test('a toner that another file defines takes the finding away, and its loss brings it back', async () => {
  const { told, until, open, change, end } = await session({ files: FILES });
  await open(black, FILES['black.pour']);
  await open(shelf, SHELF);
  await until(() => isMissing(told, black));
  await change(shelf, 2, wholeShelf(`${SHELF}toner BLK-1 "Black"\n`));
  await until(() => !isMissing(told, black));
  await change(shelf, 3, wholeShelf(SHELF));
  await until(() => isMissing(told, black));
  end();
});

test('before the folder is read, nothing is called missing', async () => {
  let list = (_uris: string[]): void => undefined;
  const listed = new Promise<string[]>((resolve) => {
    list = resolve;
  });
  const { told, tellings, until, open, change, end } = await session({
    files: FILES,
    ports: { listFiles: () => listed },
  });
  await open(black, `${USES_BLACK}  toner\n`);
  await until(() => codes(told, black).length > 0);
  await change(black, 2, { start: { line: 0, character: 9 }, end: { line: 0, character: 9 }, text: 'x' });
  await until(() => tellings.some((one) => one.version === 2));
  await new Promise((resolve) => setTimeout(resolve, 50));
  expect(tellings.some(({ diagnostics }) => diagnostics.some((one) => one.code === 'name-unknown'))).toBe(false);
  list([shelf, green]);
  await until(() => isMissing(told, black));
  end();
});

test('findings go with their file: deleted, renamed, excluded, its folder removed, or closed without a folder', async () => {
  const { client, told, until, open, close, write, disk, end } = await session({ files: FILES });
  await until(() => isMissing(told, black));
  await write({ [black]: undefined });
  await until(() => told.get(black)!.length === 0);

  const renamed = `${FOLDER}/other.pour`;
  await write({ [renamed]: FILES['black.pour'] });
  await until(() => isMissing(told, renamed));
  const again = `${FOLDER}/third.pour`;
  await write({ [renamed]: undefined, [again]: FILES['black.pour'] });
  await until(() => told.get(renamed)!.length === 0 && isMissing(told, again));

  disk.delete(again);
  await client.sendNotification(DidChangeConfigurationNotification.type, { settings: {} });
  await until(() => told.get(again)!.length === 0);

  const loose = 'file:///elsewhere/loose.pour';
  await open(loose, USES_BLACK);
  await until(() => isMissing(told, loose));
  await close(loose);
  await until(() => told.get(loose)!.length === 0);

  await write({ [black]: FILES['black.pour'] });
  await until(() => isMissing(told, black));
  end();
});

test('closing gives the file back to the disk', async () => {
  const { told, until, open, close, end } = await session({ files: FILES });
  await open(green, USES_BLACK);
  await until(() => isMissing(told, green));
  await close(green);
  await until(() => !isMissing(told, green));
  end();
});

test('folders come and go, one inside the other too', async () => {
  const inner = `${FOLDER}/inner`;
  const innerFile = `${inner}/black.pour`;
  const files = { 'shelf.pour': `${SHELF}toner BLK-1 "Black"\n`, 'inner/black.pour': USES_BLACK };
  const { client, told, until, tellings, end } = await session({
    files,
    capabilities: { workspace: { workspaceFolders: true } },
  });
  const folders = (added: string[], removed: string[]) =>
    client.sendNotification(DidChangeWorkspaceFoldersNotification.type, {
      event: {
        added: added.map((uri) => ({ uri, name: uri })),
        removed: removed.map((uri) => ({ uri, name: uri })),
      },
    });
  await until(() => told.has(shelf) || tellings.length > 0);
  expect(isMissing(told, innerFile)).toBe(false);
  await folders([inner], []);
  await until(() => isMissing(told, innerFile)); // a book of its own has no black
  await folders([], [inner]);
  await until(() => !isMissing(told, innerFile));
  await folders([], [FOLDER]);
  await until(() => [...told.values()].every((list) => list.length === 0));
  end();
});

test('the last word is the one of the last version, however fast the edits come', async () => {
  const { told, tellings, until, open, change, end } = await session({ files: FILES });
  await open(green, FORMULA);
  const at = positionAt(FORMULA, FORMULA.indexOf('GRN-2') + 4);
  const behind = { line: at.line, character: at.character + 1 };
  for (let version = 2; version <= 201; version++)
    void change(green, version, { start: at, end: behind, text: version % 2 === 0 ? '9' : '2' });
  await until(() => tellings.some((one) => one.uri === green && one.version === 201));
  await new Promise((resolve) => setTimeout(resolve, 100));
  expect(isMissing(told, green)).toBe(false);
  const versions = tellings.filter((one) => one.uri === green).map((one) => one.version ?? 0);
  expect(versions).toEqual([...versions].sort((a, b) => a - b));
  end();
});

test('places of related entries follow the edits of their own file', async () => {
  const twice = { 'a.pour': 'toner T "One"\n', 'b.pour': 'toner T "Two"\n' };
  const { told, until, open, change, end } = await session({ files: twice });
  const [a, b] = [`${FOLDER}/a.pour`, `${FOLDER}/b.pour`];
  await open(a, twice['a.pour']);
  const related = () => told.get(b)?.flatMap((one) => one.relatedInformation ?? [])[0]?.location;
  await until(() => related() !== undefined);
  expect(related()).toMatchObject({ uri: a, range: { start: { line: 0 } } });
  await change(a, 2, { start: { line: 0, character: 0 }, end: { line: 0, character: 0 }, text: '\n\n\n' });
  await until(() => related()?.range.start.line === 3);
  end();
});

test('an open-format file that a reading names is read when it is named, and again when it changes', async () => {
  const reading = 'reading R "x"\n  file "r.csv"\n';
  const { told, until, open, change, write, disk, end } = await session({ files: { 'r.pour': 'reading R "x"\n' } });
  const uri = `${FOLDER}/r.pour`;
  await open(uri, 'reading R "x"\n');
  await until(() => told.has(uri));
  await change(uri, 2, { start: { line: 1, character: 0 }, end: { line: 1, character: 0 }, text: '  file "r.csv"\n' });
  await until(() => codes(told, uri).some((code) => String(code).startsWith('file-')));
  const before = JSON.stringify(told.get(uri));
  expect(reading).toContain('r.csv');
  disk.set(`${FOLDER}/r.csv`, 'nonsense');
  await write({ [`${FOLDER}/r.csv`]: 'nonsense' });
  await until(() => JSON.stringify(told.get(uri)) !== before);
  end();
});

test('an editor that pulls is told nothing, and asked to pull again when other files change', async () => {
  const { client, tellings, refreshes, until, open, change, end } = await session({ files: FILES, capabilities: PULL });
  await open(black, FILES['black.pour']);
  await open(shelf, SHELF);
  await until(() => refreshes() > 0);
  const first = await pulled(client, black);
  expect(itemCodes(first)).toContain('name-unknown');
  const same = await pulled(client, black, first.resultId);
  expect(same).toEqual({ kind: 'unchanged', resultId: first.resultId });

  // Pulled at once, before the server has looked at the other files by itself.
  void change(shelf, 2, wholeShelf(`${SHELF}toner BLK-1 "Black"\n`));
  const fixed = await pulled(client, black, first.resultId);
  expect(fixed.kind).toBe('full');
  expect(itemCodes(fixed)).not.toContain('name-unknown');
  expect(fixed.resultId).not.toBe(first.resultId);

  const before = refreshes();
  void change(shelf, 3, wholeShelf(SHELF));
  await until(() => refreshes() > before);
  const missing = await pulled(client, black, fixed.resultId);
  expect(itemCodes(missing)).toContain('name-unknown');
  expect(missing.resultId).not.toBe(first.resultId);
  expect(tellings).toEqual([]);
  end();
});

test('an edit that moves a finding changes the result id, one behind it does not', async () => {
  const { client, open, change, until, refreshes, end } = await session({ files: FILES, capabilities: PULL });
  await open(black, FILES['black.pour']);
  await until(() => refreshes() > 0);
  const first = await pulled(client, black);
  void change(black, 2, { start: { line: 4, character: 0 }, end: { line: 4, character: 0 }, text: '\n' });
  expect((await pulled(client, black, first.resultId)).kind).toBe('unchanged');
  void change(black, 3, { start: { line: 0, character: 0 }, end: { line: 0, character: 0 }, text: '\n' });
  expect((await pulled(client, black, first.resultId)).kind).toBe('full');
  end();
});

test('the workspace is pulled with result ids; what is gone is answered empty', async () => {
  const { client, write, until, refreshes, end } = await session({ files: FILES, capabilities: PULL });
  await until(() => refreshes() > 0);
  const pull = (previousResultIds: { uri: string; value: string }[] = []) =>
    client.sendRequest(WorkspaceDiagnosticRequest.type, { previousResultIds });
  const first = await pull();
  expect(first.items.map((one) => one.uri).sort()).toEqual([black, green, shelf]);
  expect(itemCodes(first.items.find((one) => one.uri === black)!)).toContain('name-unknown');
  const ids = first.items.map(({ uri, resultId }) => ({ uri, value: resultId! }));
  expect((await pull(ids)).items.map((one) => one.kind)).toEqual(['unchanged', 'unchanged', 'unchanged']);

  const before = refreshes();
  await write({ [shelf]: `${SHELF}toner BLK-1 "Black"\n`, [green]: undefined });
  await until(() => refreshes() > before);
  const next = await pull(ids);
  expect(next.items.find((one) => one.uri === green)).toEqual({ uri: green, kind: 'full', version: null, items: [] });
  expect(itemCodes(next.items.find((one) => one.uri === black)!)).not.toContain('name-unknown');
  end();
});

test('a pull that is no longer wanted is broken off, and the next one says everything', async () => {
  const many = Array.from({ length: 30 }, (_, index) => [
    `f${index}.pour`,
    Array.from({ length: 40 }, (_one, entry) => USES_BLACK.replace('SAM-31', `F-${index}-${entry}`)).join('\n'),
  ]);
  const files: Record<string, string> = { ...FILES, ...Object.fromEntries(many) };
  const { client, log, until, refreshes, end } = await session({ files, capabilities: PULL });
  const cancel = new CancellationTokenSource();
  // While the folder is still read and looked at.
  const broken = client.sendRequest(WorkspaceDiagnosticRequest.type, { previousResultIds: [] }, cancel.token);
  cancel.cancel();
  await broken.catch((error: Error) => expect(error.message).toBe('No longer wanted.'));
  await until(() => refreshes() > 0);
  const whole = await client.sendRequest(WorkspaceDiagnosticRequest.type, { previousResultIds: [] });
  expect(whole.items).toHaveLength(Object.keys(files).length);
  expect(whole.items.filter((one) => itemCodes(one)?.includes('name-unknown'))).toHaveLength(31);
  expect(log).toEqual([]);
  end();
});

test('what is told is what a book read from scratch says', async () => {
  const { told, until, open, end } = await session({ files: FILES });
  await open(green, USES_BLACK);
  await until(() => isMissing(told, green) && isMissing(told, black));
  const book = new Book();
  for (const [name, text] of Object.entries({ ...FILES, 'green.pour': USES_BLACK }))
    book.setFile(`${FOLDER}/${name}`, text);
  book.loaded.set(true);
  for (const uri of [shelf, green, black]) {
    const wanted = findingsOfFile(book, uri).map(({ code, line, character }) => ({ code, line, character }));
    expect((told.get(uri) ?? []).map(({ code, range }) => ({ code, ...range.start }))).toEqual(wanted);
  }
  end();
});
