/** Changes since an earlier version, as an editor asks for them: above formulas, in hover, and the data of the panel. */
import { afterEach, describe, expect, it } from 'vitest';
import { CodeLensRequest, HoverRequest } from 'vscode-languageserver-protocol/node';
import { Book } from '../../../server/book/book.ts';
import { lockText } from '../../../server/book/optics/lock.ts';
import { learnBook } from '../../../server/book/optics/optics.ts';
import type { ReviewPanel } from '../../../server/editor/review.ts';
import { simulatedShop, tonerLines } from '../book/optics/simulated-shop.ts';
import { repository } from '../command/repository.ts';
import { pourbook } from '../command/shop.ts';
import { book, card } from '../command/small-book.ts';
import { FOLDER, positionAt, type Session, session } from './session.ts';

const FILES = book();
const REST = FILES['rest.pour']!;
const uri = `${FOLDER}/rest.pour`;

type Given = { label?: string; commit?: string; files?: Record<string, string | null> };
const version = ({ label = 'HEAD', commit = 'a'.repeat(40), files = {} }: Given) => ({
  label,
  commit,
  files: Object.entries(files).map(([path, text]) => ({
    uri: `${FOLDER}/${path}`,
    base64: text === null ? null : Buffer.from(text).toString('base64'),
  })),
});

let editor: Session;
let moved = 0;
let refreshed = 0;

async function start(files: Record<string, string> = FILES): Promise<void> {
  [moved, refreshed] = [0, 0];
  editor = await session({ files, capabilities: { workspace: { codeLens: { refreshSupport: true } } } });
  editor.client.onNotification('pourbook/reviewMoved', () => void moved++);
  editor.client.onRequest('workspace/codeLens/refresh', () => {
    refreshed++;
    return null;
  });
}
afterEach(() => editor.end());

async function give(given: Given = {}): Promise<void> {
  const before = moved;
  await editor.client.sendNotification('pourbook/base', { folder: FOLDER, version: version(given) });
  await editor.until(() => moved > before);
}

async function lenses(of = uri): Promise<string[]> {
  const found = await editor.client.sendRequest(CodeLensRequest.type, { textDocument: { uri: of } });
  return (found ?? []).map(({ range, command }) => `${range.start.line + 1} ${command!.title}`);
}

async function hover(text: string, at: string, plus = 1): Promise<string> {
  const position = positionAt(text, text.indexOf(at) + plus);
  const found = await editor.client.sendRequest(HoverRequest.type, { textDocument: { uri }, position });
  expect(editor.log.filter((line) => line.includes('failed'))).toEqual([]);
  return found ? (found.contents as { value: string }).value : '';
}

const review = (params: object = {}) =>
  editor.client.sendRequest<ReviewPanel & { problem?: string }>('pourbook/review', { folder: FOLDER, ...params });

function replaced(text: string, was: string, is: string): string {
  expect(text.split(was).length).toBe(2);
  return text.replace(was, is);
}

/** The line of a text, from 1. */
const lineOf = (text: string, what: string): number => positionAt(text, text.indexOf(what)).line + 1;

const STRONGER = replaced(REST, 'toner BLK-1 10\n  expect', 'toner BLK-1 12\n  expect');

/** The file open in the editor with this text, of a book that lies on the disk as at the last commit. */
async function edited(text: string, given: Given = { files: { 'rest.pour': REST } }): Promise<void> {
  await start();
  await editor.open(uri, text);
  await give(given);
}

describe('above a formula', () => {
  it('nothing is told while nothing differs, nor without an earlier version', async () => {
    await start();
    await editor.open(uri, STRONGER);
    expect(await lenses()).toEqual([]);
    await give({ files: { 'rest.pour': STRONGER } });
    expect(await lenses()).toEqual([]);
  });

  it('a change and what it reaches are told as soon as they are typed, and no more when taken back', async () => {
    await edited(REST);
    expect(await lenses()).toEqual([]);
    const start = positionAt(REST, REST.indexOf('toner BLK-1 10\n  expect') + 'toner BLK-1 '.length);
    const end = { ...start, character: start.character + 2 };
    await editor.change(uri, 2, { start, end, text: '12' });
    expect(await lenses()).toEqual([
      `${lineOf(REST, 'formula GUL-2')} needs a spray-out: no card shows it as it is now · approval is of the earlier paint`,
      `${lineOf(REST, 'variant GUL-2/warm')} needs a spray-out: no card shows it as it is now`,
    ]);
    await editor.change(uri, 3, { start, end, text: '10' });
    expect(await lenses()).toEqual([]);
  });

  it('a card of the new paint tells how the colour moved, by measuring', async () => {
    await edited(`${STRONGER}\n${card('C-2', '12', '47.9', '2026-09-12')}`);
    const [told] = await lenses();
    expect(told).toMatch(/ colour moved: worst 2\.\d at 45\/0, darker \(measured\)/);
  });

  it('what only the layout or a comment changes is not told, what is new or renamed is', async () => {
    await edited(
      replaced(
        REST,
        '  toner WHT-1 90\n  toner BLK-1 10\n  expect',
        '  toner  WHT-1  90.0 # white\n  toner BLK-1 10\n  expect',
      ),
    );
    expect(await lenses()).toEqual([]);
    await edited(
      `${replaced(REST, 'variant GUL-2/warm', 'variant GUL-2/warmer')}\nformula NEW-1 "New"\n  toner WHT-1 1\n`,
    );
    const told = await lenses();
    expect(told.some((one) => one.endsWith('renamed from GUL-2/warm, no change in colour'))).toBe(true);
    expect(told.some((one) => one.endsWith('new since HEAD: no card shows it yet'))).toBe(true);
  });

  it('a price in another file reaches the formula but moves no colour, so nothing is told', async () => {
    await start();
    await editor.open(uri, REST);
    const { 'toners.pour': toners } = FILES;
    await give({ files: { 'rest.pour': REST, 'toners.pour': replaced(toners!, 'price 40', 'price 44') } });
    expect(await lenses()).toEqual([]);
    expect((await review()).rows.map(({ id }) => id)).toEqual(['GUL-2', 'GUL-2/warm']);
  });

  it('the next commit takes all of it away, and the editor is asked to look again', async () => {
    await edited(STRONGER);
    expect(await lenses()).toHaveLength(2);
    const before = refreshed;
    await give({ commit: 'b'.repeat(40), files: { 'rest.pour': STRONGER } });
    expect(await lenses()).toEqual([]);
    expect(refreshed).toBeGreaterThan(before);
    await editor.client.sendNotification('pourbook/base', { folder: FOLDER, version: null });
    expect(await hover(STRONGER, 'BLK-1 12', 6)).not.toContain('HEAD');
  });

  it('a file that changes on the disk without being changed since the commit is no change', async () => {
    await edited(STRONGER);
    expect(await lenses()).toHaveLength(2);
    const toners = replaced(FILES['toners.pour']!, 'price 40', 'price 44');
    await editor.write({ [`${FOLDER}/toners.pour`]: toners });
    await give({ commit: 'b'.repeat(40), files: { 'rest.pour': REST } });
    expect((await review()).entries).toEqual([]);
  });

  it('a prediction is called one', async () => {
    const shop = simulatedShop(5, 6, 25);
    const formula = (share: number) =>
      `formula F-1 "One"\n  system SB\n${tonerLines(shop.toners, [
        { toner: 0, share: 1 - share },
        { toner: 3, share },
      ])}\n`;
    const learned = new Book();
    learned.setFile('file:///a.pour', shop.text);
    learned.loaded.set(true);
    const files = { 'shop.pour': shop.text, 'rest.pour': formula(0.4), 'optics.lock': lockText(learnBook(learned)) };
    await start(files);
    await editor.open(uri, formula(0.45));
    await give({ files: { 'rest.pour': formula(0.4) } });
    const [told] = await lenses();
    expect(told).toMatch(/colour moved: worst \d+\.\d.* at 45\/0, .+ \(predicted\)/);
    const { rows, notes } = await review();
    expect(rows[0]!.line).toMatch(/^(visible|within tolerance): worst \d+\.\d.* at 45\/0, .+ \(predicted\)$/);
    expect(notes).toEqual([]);
  });
});

describe('hover', () => {
  it('tells a figure as it was, and nothing where it was the same', async () => {
    await edited(STRONGER);
    expect(await hover(STRONGER, 'BLK-1 12', 6)).toContain('At HEAD: **10** parts');
    expect(await hover(STRONGER, 'WHT-1 90', 6)).not.toContain('HEAD');
  });

  it('tells the figures of a formula as they were where they differ', async () => {
    await edited(STRONGER);
    const told = await hover(STRONGER, 'formula GUL-2', 10);
    expect(told).toContain('At HEAD:');
    expect(told).toContain('- Total 100.00 parts; 200 g as poured');
    expect(told).toMatch(/- Card C\\?-1 against DOOR: .*0\.4 dE00/);
  });

  it('tells of a line that was not there', async () => {
    await edited(replaced(REST, 'toner BLK-1 10\n  expect', 'toner BLK-1 10\n  toner RED-1 3\n  expect'));
    expect(
      await hover(
        replaced(REST, 'toner BLK-1 10\n  expect', 'toner BLK-1 10\n  toner RED-1 3\n  expect'),
        'RED-1 3',
        6,
      ),
    ).toContain('At HEAD: not in it');
  });
});

describe('the panel', () => {
  it('has a short list first, with what leads to the lines', async () => {
    await edited(STRONGER);
    const { title, sum, rows } = await review();
    expect(title).toBe('the files as they are against HEAD');
    expect(sum).toMatch(/^2 formulas: 2 needs a spray-out/);
    expect(rows.map(({ id, line, status }) => [id, line, status])).toEqual([
      ['GUL-2', 'needs a spray-out', 'approved'],
      ['GUL-2/warm', 'needs a spray-out', ''],
    ]);
    expect(rows[0]!.place).toEqual({
      uri,
      file: 'rest.pour',
      line: lineOf(STRONGER, 'formula GUL-2'),
      version: 'after',
    });
    expect(rows[0]!.tables[0]!.rows).toContainEqual(expect.arrayContaining(['BLK-1', '10', '12']));
    expect(rows[0]!.callOuts).toEqual(["'approved by RO on 2026-09-10' was said of the earlier paint."]);
  });

  it('says of two versions, and of the last commit, what the command line says', async () => {
    const repo = await repository(FILES);
    await repo.write('rest.pour', STRONGER);
    await edited(STRONGER);
    const printed = await pourbook(repo.folder, 'review', 'HEAD', '--format', 'markdown');
    const commit = repo.git('rev-parse', 'HEAD');
    await give({ commit, files: { 'rest.pour': REST } });
    expect((await review()).markdown.trim()).toBe(printed.out.trim());

    const second = await repo.commit('second', { 'rest.pour': STRONGER, 'toners.pour': FILES['toners.pour']! });
    const between = await pourbook(repo.folder, 'review', `${commit}..${second}`, '--format', 'markdown');
    const before = version({ label: commit, commit, files: { 'rest.pour': REST } });
    const after = version({ label: second, commit: second, files: {} });
    const head = { hash: second, author: 'Rosa Ore', date: repo.git('log', '-1', '--format=%aI'), subject: 'second' };
    expect((await review({ before, after, commits: [head] })).markdown.trim()).toBe(between.out.trim());
  });

  it('says which files have an open merge conflict, until it is resolved', async () => {
    const open = `${REST}\n<<<<<<< ours\nformula NEW-1 "New"\n=======\nformula NEW-2 "New"\n>>>>>>> theirs\n`;
    await edited(open);
    expect((await review()).notes).toContainEqual(expect.stringContaining('a merge conflict is open in rest.pour'));
    const start = positionAt(open, REST.length);
    await editor.change(uri, 2, { start, end: positionAt(open, open.length), text: '' });
    expect((await review()).notes).not.toContainEqual(expect.stringContaining('merge conflict'));
  });

  it('takes away and adds whole files', async () => {
    await start({ ...FILES, 'more.pour': 'formula NEW-1 "New"\n  toner WHT-1 1\n' });
    await give({ files: { 'more.pour': null, 'gone.pour': 'formula OLD-1 "Old"\n  toner BLK-1 1\n' } });
    const rows = (await review()).rows.map(({ id, line, place }) => [id, line, place.version]);
    expect(rows).toEqual([
      ['NEW-1', 'needs a spray-out', 'after'],
      ['OLD-1', 'gone', 'before'],
    ]);
  });

  it('says why there is none', async () => {
    await start();
    expect((await review()).problem).toMatch(/no earlier version/);
    expect((await review({ folder: 'file:///elsewhere' })).problem).toMatch(/no earlier version/);
  });
});
