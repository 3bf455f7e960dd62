import { expect, test } from 'vitest';
import {
  DefinitionRequest,
  DocumentHighlightRequest,
  type Location,
  PrepareRenameRequest,
  ReferencesRequest,
  RenameRequest,
  type TextDocumentEdit,
  WorkspaceSymbolRequest,
} from 'vscode-languageserver-protocol/node';
import { cursorIn, edited, FOLDER, session, textIn } from './session.ts';

const SHELF = 'toner GRN-2 "Green"\ntoner BLK-1 "Black"\n';
const BOOK = `formula SAM-31 "Samphire Green"
  toner GRN-2 41.20
  toner BLK-1 58.80

variant SAM-31/dark "Darker"
  toner BLK-1 +0.40

variant SAM-31/dark/cool "Cooler"
  toner GRN-2 +1

batch B-1 of SAM-31/dark
  poured GRN-2 33.2 g
`;

const shelf = `${FOLDER}/shelf.pour`;
const uri = `${FOLDER}/book.pour`;

/** A session on the shelf (closed) and the book (open), asked at the `|` that stands in place of the text behind it. */
async function asked(marked: string) {
  const at = cursorIn(marked);
  const one = await session({ files: { 'shelf.pour': SHELF, 'book.pour': at.text } });
  await one.open(uri, at.text);
  await one.until(() => one.told.size > 0 || one.log.length > 0);
  await new Promise((resolve) => setTimeout(resolve, 50));
  return { ...one, ...at, params: { textDocument: { uri }, position: at.position } };
}

const texts: Record<string, string> = { [shelf]: SHELF, [uri]: BOOK };
const lineOf = ({ uri: file, range }: Location) => `${texts[file]!.split('\n')[range.start.line]!.trim()}`;
const marking = (piece: string) => BOOK.replace(piece, (found) => `${found.slice(0, -1)}|${found.slice(-1)}`);

test('a toner is defined in another file, and used in all', async () => {
  const { client, params, end } = await asked(marking('toner GRN-2'));
  const defined = (await client.sendRequest(DefinitionRequest.type, params)) as Location[];
  expect(defined.map(lineOf)).toEqual(['toner GRN-2 "Green"']);
  expect(textIn(SHELF, defined[0]!.range)).toBe('GRN-2');
  const uses = (await client.sendRequest(ReferencesRequest.type, {
    ...params,
    context: { includeDeclaration: true },
  }))!;
  expect(uses.map(lineOf).sort()).toEqual([
    'poured GRN-2 33.2 g',
    'toner GRN-2 "Green"',
    'toner GRN-2 +1',
    'toner GRN-2 41.20',
  ]);
  const here = (await client.sendRequest(DocumentHighlightRequest.type, params))!;
  expect(here.map((one) => textIn(BOOK, one.range))).toEqual(['GRN-2', 'GRN-2', 'GRN-2']);
  end();
});

test('each parent in the path of a variant is a name of its own', async () => {
  const start = BOOK.indexOf('variant SAM-31/dark/');
  for (const [path, wanted] of [
    ['variant SAM-31', 'formula SAM-31 "Samphire Green"'],
    ['variant SAM-31/dark', 'variant SAM-31/dark "Darker"'],
    ['variant SAM-31/dark/cool', 'variant SAM-31/dark/cool "Cooler"'],
  ] as const) {
    const at = start + path.length - 1;
    const { client, params, end } = await asked(`${BOOK.slice(0, at)}|${BOOK.slice(at)}`);
    const defined = (await client.sendRequest(DefinitionRequest.type, params)) as Location[];
    expect(defined.map(lineOf)).toEqual([wanted]);
    end();
  }
});

test('a parent is referred to by its variants and its batch', async () => {
  const { client, params, end } = await asked(marking('variant SAM-31/dark'));
  const uses = (await client.sendRequest(ReferencesRequest.type, {
    ...params,
    context: { includeDeclaration: false },
  }))!;
  expect(uses.map(lineOf).sort()).toEqual(['batch B-1 of SAM-31/dark', 'variant SAM-31/dark/cool "Cooler"']);
  end();
});

/** The book and the shelf after a rename at the cursor, and the versions that the edits are for. */
async function renamed(marked: string, newName: string) {
  const { client, params, end } = await asked(marked);
  try {
    const edit = await client.sendRequest(RenameRequest.type, { ...params, newName });
    const changes = (edit?.documentChanges ?? []) as TextDocumentEdit[];
    const after = (file: string) => {
      const change = changes.find((one) => one.textDocument.uri === file);
      return edited(texts[file]!, (change?.edits ?? []) as never);
    };
    return {
      shelf: after(shelf),
      book: after(uri),
      versions: Object.fromEntries(changes.map(({ textDocument }) => [textDocument.uri, textDocument.version])),
    };
  } finally {
    end();
  }
}

test('a rename goes through all files, each with its own version', async () => {
  const { shelf: text, book, versions } = await renamed(marking('toner GRN-2'), 'GRN-3');
  expect(text).toBe(SHELF.replaceAll('GRN-2', 'GRN-3'));
  expect(book).toBe(BOOK.replaceAll('GRN-2', 'GRN-3'));
  expect(versions).toEqual({ [uri]: 1, [shelf]: null });
});

test('the paths of the variants below change with their parent', async () => {
  expect((await renamed(marking('formula SAM-31'), 'MAR-1')).book).toBe(BOOK.replaceAll('SAM-31', 'MAR-1'));
  expect((await renamed(marking('variant SAM-31/dark'), 'SAM-31/deep')).book).toBe(BOOK.replaceAll('/dark', '/deep'));
  expect((await renamed(marking('variant SAM-31/dark'), 'deep')).book).toBe(BOOK.replaceAll('/dark', '/deep'));
  expect((await renamed(marking('of SAM-31/dark'), 'deep')).book).toBe(BOOK.replaceAll('/dark', '/deep'));
});

test('what is renamed is shown first, and only what has a name', async () => {
  const { client, params, end } = await asked(marking('variant SAM-31/dark'));
  const prepared = await client.sendRequest(PrepareRenameRequest.type, params);
  expect(prepared).toMatchObject({ placeholder: 'SAM-31/dark' });
  end();
  const other = await asked(marking('toner GRN-2 41.20'));
  expect(await other.client.sendRequest(PrepareRenameRequest.type, other.params)).toBeNull();
  other.end();
});

test('a name that cannot be is refused with the reason', async () => {
  const refused: [string, string][] = [
    ['BLK-1', "There is already a toner 'BLK-1' in the book."],
    ['blk-1', "There is a toner 'BLK-1' in the book, and 'blk-1' differs in capitals only."],
    ['GRN 2', 'cannot be an id'],
    ['-GRN', 'cannot be an id'],
    ['GRN..2', 'cannot be an id'],
    ['', 'cannot be an id'],
    ['41.20', 'cannot be an id'],
    ['GRN/2', "Only the ids of variants have '/' in them."],
  ];
  for (const [name, reason] of refused) await expect(renamed(marking('toner GRN-2'), name)).rejects.toThrow(reason);
  await expect(renamed(marking('variant SAM-31/dark'), 'MAR-1/dark')).rejects.toThrow('to another parent');
  await expect(renamed(marking('formula SAM-31'), 'SAM/31')).rejects.toThrow('to another parent');
});

test('only capitals may change', async () => {
  expect((await renamed(marking('toner GRN-2'), 'grn-2')).shelf).toBe(SHELF.replace('GRN-2', 'grn-2'));
});

test('symbols of the workspace are found by letters in order, at most 500', async () => {
  const many = Array.from({ length: 700 }, (_, index) => `toner T-${index} "Toner"\n`).join('');
  const { client, until, open, told, end } = await session({ files: { 'shelf.pour': SHELF, 'many.pour': many } });
  await open(shelf, SHELF);
  await until(() => told.size > 1);
  const names = async (query: string) =>
    (await client.sendRequest(WorkspaceSymbolRequest.type, { query }))!.map((one) => one.name);
  expect(await names('gr2')).toEqual(['toner GRN-2 Green']);
  expect((await names('T-699'))[0]).toBe('toner T-699 Toner');
  expect(await names('')).toHaveLength(500);
  expect(await names('nothing of the kind')).toEqual([]);
  end();
});
