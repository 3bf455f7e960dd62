/** A batch played through the protocol, from the first pour to the closed record: hints, findings and quick fixes as the hand meets them. */
import { afterEach, beforeEach, expect, it } from 'vitest';
import {
  type CodeAction,
  CodeActionRequest,
  type Diagnostic,
  DocumentDiagnosticRequest,
  type InlayHint,
  InlayHintRequest,
  type TextDocumentEdit,
} from 'vscode-languageserver-protocol';
import { entry } from '../answers/entry.ts';
import { edited, FOLDER, PULL, positionAt, type Session, session } from './session.ts';

const uri = `${FOLDER}/bench.pour`;
const BOOK =
  entry('book "b"', 'scale 0.1 g', 'weighing within 5 %', 'timezone Europe/Dublin') +
  ['GRN-2', 'ALU-C', 'BLK-1', 'BND-0'].map((id) => entry(`toner ${id} "${id}"`, 'lot L-1 opened 2026-09-01')).join('') +
  entry('formula F "f"', 'toner GRN-2 41.20', 'toner ALU-C 21.50', 'toner BLK-1 1.65', 'toner BND-0 34.95');

let open: Session;
let text: string;
let version: number;

beforeEach(async () => {
  open = await session({ files: { 'book.pour': BOOK }, capabilities: PULL });
  text = 'batch B of F\n  make 80 g\n';
  version = 1;
  await open.open(uri, text);
});
afterEach(() => open.end());

async function put(next: string): Promise<void> {
  const end = positionAt(text, text.length);
  text = next;
  await open.change(uri, ++version, { start: { line: 0, character: 0 }, end, text });
}

const type = (line: string) => put(`${text}  ${line}\n`);

async function hints(): Promise<string[]> {
  const range = { start: { line: 0, character: 0 }, end: positionAt(text, text.length) };
  const found = (await open.client.sendRequest(InlayHintRequest.type, { textDocument: { uri }, range })) as InlayHint[];
  return found.map(({ label, position }) => `${position.line} ${label as string}`);
}

async function findings(): Promise<Diagnostic[]> {
  const report = await open.client.sendRequest(DocumentDiagnosticRequest.type, { textDocument: { uri } });
  return 'items' in report ? report.items : [];
}
const codes = async () => (await findings()).map((one) => one.code);

/** Titles of the quick fixes of a finding, and taking one. */
async function fixesOf(code: string): Promise<CodeAction[]> {
  const at = (await findings()).find((one) => one.code === code)!;
  const asked = { textDocument: { uri }, range: at.range, context: { diagnostics: [at] } };
  return (await open.client.sendRequest(CodeActionRequest.type, asked)) as CodeAction[];
}
async function take(code: string, title: string): Promise<void> {
  const fix = (await fixesOf(code)).find((one) => one.title.startsWith(title))!;
  await put(edited(text, (fix.edit!.documentChanges![0] as TextDocumentEdit).edits as never));
}

it('is poured, over-poured, rescued and finished', async () => {
  expect(await hints()).toEqual(['1 next 33.2 g: 33.2 g of GRN-2']);
  await type('poured GRN-2 33.2 g');
  expect(await hints()).toEqual(['2 next 50.5 g: 17.3 g of ALU-C; → 33.2 g, as meant']);
  await type('poured ALU-C scale 51.6 g');
  expect((await hints()).at(-1)).toBe(
    '3 next 52.9 g: 1.3 g of BLK-1; 18.4 g poured, 1.1 g over: more than the 5 % accepted',
  );
  expect((await fixesOf('over-poured')).map((one) => one.title.split(':')[0])).toEqual([
    'Leave it',
    'Make 85.0 g, so that the ratios hold',
    'Stir, take 3.0 g out and finish',
    'Start again',
  ]);
  await take('over-poured', 'Make 85.0 g');
  expect(text).toContain('  make 85.0 g\n');
  expect(await codes()).not.toContain('over-poured');
  expect((await hints()).at(-1)).toMatch(/^3 next 53\.7 g: 2\.1 g of GRN-2; /);
});

it('tells a toner that was not stirred and a cup that lost weight', async () => {
  await type('stirred GRN-2 no');
  await type('poured GRN-2 33.2 g');
  await type('weighed 33.1 g');
  expect(await codes()).toContain('toner-unstirred');
  expect(await codes()).not.toContain('cup-lost'); // the scale alone may be off by so much
  await type('weighed 32.5 g');
  const lost = (await findings()).find((one) => one.code === 'cup-lost')!;
  expect(lost.message).toContain('0.6 g evaporated');
});

it('makes a variant of an accepted tint', async () => {
  for (const pour of ['GRN-2 33.2', 'ALU-C 17.3', 'BLK-1 1.3', 'BND-0 28.2']) await type(`poured ${pour} g`);
  await type('tinted BLK-1 0.4 g');
  expect(await codes()).not.toContain('tint-accepted');
  await put(text.replace('0.4 g', '0.4 g accepted'));
  await take('tint-accepted', 'Write the variant F/tinted');
  expect(text).toContain('variant F/tinted "Tinted, batch B"\n  toner BLK-1 +0.50'); // 0.4 x 99.30 / 80
  expect(await codes()).not.toContain('tint-accepted');
});

it('keeps recipe, lots, scale, who and when once it is closed, whatever becomes of the book', async () => {
  for (const pour of ['GRN-2 33.2', 'ALU-C 17.3', 'BLK-1 1.3', 'BND-0 28.2']) await type(`poured ${pour} g`);
  await type('closed 2026-10-14T10:20');
  expect(await codes()).toEqual(expect.arrayContaining(['batch-unkept', 'batch-unsigned']));
  await put(text.replace('10:20', '10:20 by RO'));
  await take('batch-unkept', 'Keep the recipe of F, the lots and the scale');
  const kept = ['toner GRN-2 41.2', 'toner BND-0 34.95', 'lot BLK-1 L-1', 'readability 0.1 g'];
  for (const line of kept) expect(text).toContain(`  ${line}\n`);
  expect(await codes()).toEqual([]);
  const before = await hints();
  expect(before).toContain('3 → 50.5 g, as meant');
  await open.write({ [`${FOLDER}/book.pour`]: BOOK.replace('ALU-C 21.50', 'ALU-C 30').replace('0.1 g', '1 g') });
  expect(await hints()).toEqual(before);
});
