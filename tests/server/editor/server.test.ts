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

const SHELF = `${BOOK}
reading SAM-door "Door"
  lab 45as15 take 1 61.92 -18.40 9.81
  lab 45as15 take 2 61.88 -18.36 9.77

batch B-1 of SAM-31
  make 80 g
  poured GRN-2 36.0 g

undercoat SEAL "Sealer"
  grey N9 toner GRN-2 100
  grey N2 toner BND-0 100

formula PRL-7 "Pearl"
  target weight 100 g as poured
  coat ground
  toner GRN-2 90
  coat mid coats 2
  toner BND-0 10
`;

const hoverText = async (line: number, character: number) => {
  const { client, open, end } = await session({ files: { 'shop.pour': SHELF } });
  const uri = `${FOLDER}/shop.pour`;
  await open(uri, SHELF);
  const hover = await client.sendRequest(HoverRequest.type, { textDocument: { uri }, position: { line, character } });
  end();
  return JSON.stringify(hover?.contents);
};

test('hover on a figure of a reading tells the mean that it goes into', async () => {
  expect(await hoverText(12, 22)).toContain('mean of 2 takes at 45as15');
});

test('hover on a target weight tells where it is written and what it is for', async () => {
  expect(await hoverText(7, 17)).toContain('shop.pour:8');
});

test('hover on a weight in ounces tells it in grams', async () => {
  const { client, open, end } = await session();
  const uri = `${FOLDER}/shop.pour`;
  await open(uri, 'formula F "Marram"\n  target weight 8 oz-av\n');
  const at = { textDocument: { uri }, position: { line: 1, character: 17 } };
  expect(JSON.stringify(await client.sendRequest(HoverRequest.type, at))).toContain('226.8 g');
  end();
});

test('hover in a batch tells how far a pour is off and what comes next, on a grey what it is made of', async () => {
  expect(await hoverText(17, 18)).toContain('off the sheet');
  expect(await hoverText(16, 8)).toContain('next pour of B\\\\-1');
  expect(await hoverText(20, 8)).toContain('a measured step');
});

test('hover on a formula of several coats has a table for each', async () => {
  const text = await hoverText(23, 3);
  expect(text).toContain('Ground coat:');
  expect(text).toContain('Mid coat:');
});
