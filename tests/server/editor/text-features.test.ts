import { expect, test } from 'vitest';
import {
  DocumentFormattingRequest,
  DocumentLinkRequest,
  DocumentRangeFormattingRequest,
  FoldingRangeRequest,
  type SelectionRange,
  SelectionRangeRequest,
  SemanticTokensDeltaRequest,
  type SemanticTokensEdit,
  SemanticTokensRangeRequest,
  SemanticTokensRequest,
} from 'vscode-languageserver-protocol/node';
import { cursorIn, edited, FOLDER, session, textIn } from './session.ts';

const uri = `${FOLDER}/book.pour`;
const textDocument = { uri };

async function opened(text: string) {
  const one = await session({ files: { 'book.pour': text } });
  await one.open(uri, text);
  return one;
}

const UNTIDY = `formula A "Å"\r\n toner   X  1\r\n toner YY 22.5\r\n\r\nformula B "漆 😀"\r\n  toner X    3\r\n`;

test('formatting sends small edits that keep line ends; a range changes its lines only', async () => {
  const { client, end } = await opened(UNTIDY);
  const options = { tabSize: 8, insertSpaces: false };
  const whole = (await client.sendRequest(DocumentFormattingRequest.type, { textDocument, options }))!;
  const tidy = edited(UNTIDY, whole);
  expect(tidy.replaceAll(/[ \t]/g, '')).toBe(UNTIDY.replaceAll(/[ \t]/g, ''));
  expect(tidy).toContain('\r\n  toner X ');
  expect(whole.length).toBeGreaterThan(3);
  const range = { start: { line: 5, character: 0 }, end: { line: 5, character: 3 } };
  const some = (await client.sendRequest(DocumentRangeFormattingRequest.type, { textDocument, options, range }))!;
  expect(some.length).toBeGreaterThan(0);
  expect(some.every((edit) => edit.range.start.line === 5 && edit.range.end.line === 5)).toBe(true);
  expect(edited(UNTIDY, some).split('\r\n')[5]).toBe(tidy.split('\r\n')[5]);
  end();
});

test('a selection grows from the atom to the quantity, the line, the entry and the file', async () => {
  const { text, position } = cursorIn(
    '# top\n\nformula A "x"\n  target weight 25|0 g as poured # much\n  toner X 1\n\nformula B "y"\n',
  );
  const { client, end } = await opened(text);
  const [first] = (await client.sendRequest(SelectionRangeRequest.type, { textDocument, positions: [position] }))!;
  const grown: string[] = [];
  for (let at: SelectionRange | undefined = first; at; at = at.parent) grown.push(textIn(text, at.range));
  expect(grown).toEqual([
    '250',
    '250 g',
    'target weight 250 g as poured',
    'target weight 250 g as poured # much',
    'formula A "x"\n  target weight 250 g as poured # much\n  toner X 1',
    text,
  ]);
  end();
});

test('the file of a reading is a link beside the book; one outside it is none', async () => {
  const text = 'reading R "x"\n  file "more/one two.csv"\nreading S "y"\n  file "../../out.csv"\n';
  const { client, end } = await opened(text);
  const links = (await client.sendRequest(DocumentLinkRequest.type, { textDocument }))!;
  expect(links.map(({ range, target }) => [textIn(text, range), target])).toEqual([
    ['more/one two.csv', `${FOLDER}/more/one%20two.csv`],
  ]);
  end();
});

test('entries, lists over several lines and blocks of comments fold', async () => {
  const text = `# one\n# two\n\nreading R "x"\n  spectrum 45as15 400..700/100 0.1 0.2\n    0.3 0.4\n  # a\n  # b\n  note "n"\n\ntoner T "t"\n`;
  const { client, end } = await opened(text);
  const folds = (await client.sendRequest(FoldingRangeRequest.type, { textDocument }))!;
  expect(folds.map(({ startLine, endLine, kind }) => [startLine, endLine, kind])).toEqual(
    expect.arrayContaining([
      [0, 1, 'comment'],
      [3, 8, undefined],
      [4, 5, undefined],
      [6, 7, 'comment'],
    ]),
  );
  expect(folds).toHaveLength(4);
  end();
});

/** Tokens as text and type. */
function decoded(text: string, data: readonly number[], types: readonly string[]): string[] {
  let line = 0;
  let character = 0;
  const lines = text.split('\n');
  const found: string[] = [];
  for (let at = 0; at < data.length; at += 5) {
    const [down, right, length, type] = data.slice(at, at + 4) as [number, number, number, number];
    line += down;
    character = down > 0 ? right : character + right;
    found.push(`${lines[line]!.slice(character, character + length)} ${types[type]}`);
  }
  return found;
}

const TOKENS = `formula Ä-1 "漆 😀" # é\r\n  target weight 250 g as poured\r\n  toner X 1.5\r\n\r\nreading R "x"\r\n  spectrum 45as15 400..700/100 0.1 0.2\r\n    0.3 0.4\r\n`;

test('tokens say what each atom is, over CRLF, CJK, emoji and lists', async () => {
  const { client, initialized, end } = await opened(TOKENS);
  const types = initialized.capabilities.semanticTokensProvider!.legend.tokenTypes;
  const { data } = (await client.sendRequest(SemanticTokensRequest.type, { textDocument }))!;
  const found = decoded(TOKENS, data, types);
  expect(found.slice(0, 9)).toEqual([
    'formula keyword',
    'Ä-1 variable',
    '"漆 😀" string',
    '# é comment',
    'target keyword',
    'weight enumMember',
    '250 number',
    'g type',
    'as enumMember',
  ]);
  expect(found.slice(-4)).toEqual(['0.1 number', '0.2 number', '0.3 number', '0.4 number']);
  const range = { start: { line: 4, character: 0 }, end: { line: 6, character: 0 } };
  const some = (await client.sendRequest(SemanticTokensRangeRequest.type, { textDocument, range }))!;
  expect(decoded(TOKENS, some.data, types)[0]).toBe('reading keyword');
  end();
});

test('the difference of tokens makes the old ones the new ones', async () => {
  const { client, change, end } = await opened(TOKENS);
  const first = (await client.sendRequest(SemanticTokensRequest.type, { textDocument }))!;
  await change(uri, 2, { start: { line: 2, character: 2 }, end: { line: 2, character: 2 }, text: 'note "n"\r\n  ' });
  const params = { textDocument, previousResultId: first.resultId! };
  const next = (await client.sendRequest(SemanticTokensDeltaRequest.type, params))!;
  const data = [...first.data];
  const edits = (next as { edits: SemanticTokensEdit[] }).edits;
  expect(edits.length).toBeGreaterThan(0);
  for (const edit of [...edits].reverse()) data.splice(edit.start, edit.deleteCount, ...(edit.data ?? []));
  const whole = (await client.sendRequest(SemanticTokensRequest.type, { textDocument }))!;
  expect(data).toEqual(whole.data);
  const unknown = (await client.sendRequest(SemanticTokensDeltaRequest.type, { ...params, previousResultId: 'no' }))!;
  expect((unknown as { data: number[] }).data).toEqual(whole.data);
  end();
});
