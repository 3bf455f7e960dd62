import { expect, it } from 'vitest';
import { Book } from '../../../server/book/book.ts';
import { learn } from '../../../server/book/optics/learn.ts';
import { lockText } from '../../../server/book/optics/lock.ts';
import { learnBook } from '../../../server/book/optics/optics.ts';
import { type LearnReply, type LearnRequest, learnPort } from '../../../server/editor/learn-port.ts';
import { readingText, simulatedShop, tonerLines } from '../book/optics/simulated-shop.ts';
import { reading } from '../paint/simulated-book.ts';
import { FOLDER, session } from './session.ts';

const shop = simulatedShop(5, 6, 25);
const parts = [
  { toner: 0, share: 0.4 },
  { toner: 3, share: 0.6 },
];
const formula = `formula F-1 "One"\n  system SB\n  standard STD\n${tonerLines(shop.toners, parts)}\n`;
const BOOK = [formula, shop.text, readingText('STD', reading(shop.toners, parts))].join('\n');
const uri = `${FOLDER}/book.pour`;

const cardOf = async (open: Awaited<ReturnType<typeof session>>): Promise<string> => {
  const hover = (await open.client.sendRequest('textDocument/hover', {
    textDocument: { uri },
    position: { line: 0, character: 9 },
  })) as { contents: { value: string } } | null;
  return hover?.contents.value ?? '';
};

async function waitFor(holds: () => Promise<boolean>): Promise<void> {
  for (let i = 0; i < 100; i++) {
    if (await holds()) return;
    await new Promise((resolve) => setTimeout(resolve, 50));
  }
  throw new Error('it never came true');
}

it('predicts once the toners are learned, says recomputing after a card has changed, and learns again', async () => {
  let asked = 0;
  let release: () => void = () => undefined;
  const open = await session({
    files: { 'book.pour': BOOK },
    ports: {
      learn: async (samples) => {
        asked++;
        if (asked > 1)
          await new Promise<void>((resolve) => {
            release = resolve;
          });
        return learn(samples);
      },
    },
  });
  await open.open(uri, BOOK);
  await waitFor(async () => (await cardOf(open)).includes('*Predicted (when it hides)'));
  const line = BOOK.split('\n').findIndex((text) => text.startsWith('  spectrum'));
  const at = BOOK.split('\n')[line]!.indexOf('0.');
  await open.change(uri, 2, { start: { line, character: at }, end: { line, character: at + 6 }, text: '0.9000' });
  expect(await cardOf(open)).toContain('recomputing');
  await waitFor(async () => asked === 2);
  expect(await cardOf(open)).toContain('recomputing');
  release();
  await waitFor(async () => !(await cardOf(open)).includes('recomputing'));
  open.end();
});

it('takes optics.lock without a worker', async () => {
  const book = new Book();
  book.setFile(uri, BOOK);
  book.loaded.set(true);
  const open = await session({ files: { 'book.pour': BOOK, 'optics.lock': lockText(learnBook(book)) } });
  await open.open(uri, BOOK);
  await waitFor(async () => (await cardOf(open)).includes('*Predicted (when it hides)'));
  open.end();
});

/** What `fit --write` would write beside a book of this text. */
const lockOf = (text: string): string => {
  const book = new Book();
  book.setFile(uri, text);
  book.loaded.set(true);
  return lockText(learnBook(book));
};

const plusMinusOf = (card: string): string => /± [\d.]+/.exec(card)?.[0] ?? '';

it('follows optics.lock when it is changed on disk', async () => {
  const own = lockOf(BOOK);
  const open = await session({ files: { 'book.pour': BOOK } });
  await open.open(uri, BOOK);
  expect(await cardOf(open)).toContain('the toners are being learned');
  await open.write({ [`${FOLDER}/optics.lock`]: own });
  await waitFor(async () => (await cardOf(open)).includes('*Predicted (when it hides)'));
  const before = plusMinusOf(await cardOf(open));
  expect(before).not.toBe('');
  // of the same cards by other hands, as a pull may bring it: the record counts
  const other = own.replace(/"factor": ?([\d.]+)/, (_, factor: string) => `"factor": ${Number(factor) * 3}`);
  expect(other).not.toBe(own);
  await open.write({ [`${FOLDER}/optics.lock`]: other });
  await waitFor(async () => plusMinusOf(await cardOf(open)) !== before);
  // spoiled or gone, what was known stands
  for (const spoiled of ['<<<<<<<', undefined]) {
    await open.write({ [`${FOLDER}/optics.lock`]: spoiled });
    expect(await cardOf(open)).toContain('*Predicted (when it hides)');
  }
  open.end();
});

it('takes a record that comes before its cards once they have come, and no record of other cards instead of a better one', async () => {
  let asked = 0;
  const pulled = BOOK.replace(/(drawdown C1 [\s\S]*?spectrum 45\/0 400\.\.700\/10 )0\.\d+/, '$10.5000');
  const record = lockOf(pulled);
  const open = await session({
    files: { 'book.pour': BOOK, 'optics.lock': lockOf(BOOK) },
    ports: {
      learn: async (samples) => {
        asked++;
        return learn(samples);
      },
    },
  });
  await waitFor(async () => (await cardOf(open)).includes('*Predicted (when it hides)'));
  const before = await cardOf(open);
  await open.write({ [`${FOLDER}/optics.lock`]: record });
  expect(await cardOf(open)).toBe(before);
  await open.write({ [uri]: pulled });
  await waitFor(async () => (await cardOf(open)) !== before && !(await cardOf(open)).includes('recomputing'));
  expect(asked).toBe(0);
  open.end();
});

it('tells answers apart, hands on errors, and starts a worker that failed anew', async () => {
  let started = 0;
  let reply: (reply: LearnReply) => void = () => undefined;
  let failure: (error: Error) => void = () => undefined;
  const posted: LearnRequest[] = [];
  const port = learnPort((onReply, onFailure) => {
    started++;
    reply = onReply;
    failure = onFailure;
    return { post: (request) => posted.push(request) };
  });
  const [a, b] = [port({ key: 'a' } as never), port({ key: 'b' } as never)];
  reply({ id: posted[1]!.id, learned: { key: 'B' } as never });
  reply({ id: posted[0]!.id, error: 'no card' });
  await expect(a).rejects.toThrow('no card');
  expect((await b).key).toBe('B');
  const c = port({ key: 'c' } as never);
  failure(new Error('gone'));
  await expect(c).rejects.toThrow('gone');
  void port({ key: 'd' } as never).catch(() => undefined);
  expect(started).toBe(2);
});

it('tells at a toner how well it is known', async () => {
  const open = await session({ files: { 'book.pour': BOOK }, ports: { learn: async (samples) => learn(samples) } });
  await open.open(uri, BOOK);
  const line = BOOK.split('\n').findIndex((text) => text.startsWith('toner T3'));
  const card = async () => {
    const hover = (await open.client.sendRequest('textDocument/hover', {
      textDocument: { uri },
      position: { line, character: 7 },
    })) as { contents: { value: string } };
    return hover.contents.value;
  };
  await waitFor(async () => /\*solid colours, learned: \d+ cards, \d+ of them mixtures; .*±/.test(await card()));
  open.end();
});
