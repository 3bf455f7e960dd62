import { expect, test } from 'vitest';
import { HoverRequest, InlayHintRequest } from 'vscode-languageserver-protocol/node';
import { FOLDER, session } from './session.ts';

const BOOK = `book "Shop"
  scale 0.1 g

toner GRN-2 "Green"
toner BND-0 "Binder"

formula SAM-31 "Samphire Green"
  target weight 80 g as poured
  toner GRN-2 41.20
  toner BND-0 58.80
`;

test('tells a mistake, and takes it back when it is put right', async () => {
  const { open, change, told, until, end } = await session({ files: { 'shop.pour': BOOK } });
  const uri = `${FOLDER}/shop.pour`;
  await open(uri, BOOK);
  await until(() => told.get(uri) !== undefined);
  const before = told.get(uri)!.length;
  await change(uri, 2, { start: { line: 8, character: 8 }, end: { line: 8, character: 13 }, text: 'GRN-9' });
  await until(() => told.get(uri)!.some((one) => one.code === 'name-unknown'));
  expect(told.get(uri)!.find((one) => one.code === 'name-unknown')!.range).toEqual({
    start: { line: 8, character: 8 },
    end: { line: 8, character: 13 },
  });
  await change(uri, 3, { start: { line: 8, character: 8 }, end: { line: 8, character: 13 }, text: 'GRN-2' });
  await until(() => told.get(uri)!.length === before);
  end();
});

test('hover on a formula shows its pours, and hints stand behind the toner lines', async () => {
  const { client, open, end } = await session({ files: { 'shop.pour': BOOK } });
  const uri = `${FOLDER}/shop.pour`;
  await open(uri, BOOK);
  const hover = await client.sendRequest(HoverRequest.type, {
    textDocument: { uri },
    position: { line: 6, character: 3 },
  });
  expect(JSON.stringify(hover?.contents)).toContain('33.0');
  const hints = await client.sendRequest(InlayHintRequest.type, {
    textDocument: { uri },
    range: { start: { line: 0, character: 0 }, end: { line: 20, character: 0 } },
  });
  expect(hints?.map((hint) => hint.label)).toEqual(['33.0 g → 33.0 g', '47.0 g → 80.0 g']);
  end();
});
