import { expect, test } from 'vitest';
import { pages } from '../../../server/book/manual.ts';
import { FOLDER, session } from './session.ts';

const uri = `${FOLDER}/book.pour`;
const UNKNOWN = 'formula F "Marram"\n  tonner A 5\n';

const linksOf = async (codeDescriptionSupport: boolean, scheme?: string) => {
  const { client, open, told, until, end } = await session({
    capabilities: { textDocument: { publishDiagnostics: { codeDescriptionSupport } } },
    ...(scheme === undefined ? {} : { initializationOptions: { pages: scheme } }),
  });
  await open(uri, UNKNOWN);
  await until(() => (told.get(uri)?.length ?? 0) > 0);
  const page = (code: string) => client.sendRequest<string | null>('pourbook/page', { code });
  return { found: told.get(uri)!.filter((one) => one.code === 'word-unknown'), page, end };
};

test('a finding leads to its page where the editor opens pages, and the page is that of the manual', async () => {
  const { found, page, end } = await linksOf(true, 'book-page');
  expect(found.map((one) => one.codeDescription)).toEqual([{ href: 'book-page:/word-unknown.md' }]);
  const { title, text } = pages.get('word-unknown')!;
  expect(await page('word-unknown')).toBe(`# word-unknown\n\n**${title}.** ${text}\n`);
  expect(await page('no-such-finding')).toBeNull();
  end();
});

test('an editor that opens no pages gets no link', async () => {
  for (const [supported, scheme] of [
    [true, undefined],
    [false, 'book-page'],
    [true, 'no scheme'],
  ] as const) {
    const { found, end } = await linksOf(supported, scheme);
    expect(found.map((one) => one.codeDescription)).toEqual([undefined]);
    end();
  }
});
