import { expect, it } from 'vitest';
import type { Hover, InlayHint, WorkspaceEdit } from 'vscode-languageserver-protocol';
import { learn } from '../../../server/book/optics/learn.ts';
import { FILM_SHOP, parts } from '../book/optics/film-shop.ts';
import { FOLDER, session } from './session.ts';

const uri = `${FOLDER}/book.pour`;
const text = `formula RED-1 "Over its ground"
  system SB
  undercoat formula PNK-1
  target weight 100 g
${parts({ T5: 40, T0: 2, T2: 70 })}

formula PNK-1 "Ground"
  system SB
  undercoat SEAL grey N2
  target weight 100 g
${parts({ T0: 10, T5: 50, T2: 40 })}

${FILM_SHOP}`;

async function waitFor<T>(read: () => Promise<T | undefined>): Promise<T> {
  for (let i = 0; i < 200; i++) {
    const found = await read();
    if (found !== undefined) return found;
    await new Promise((resolve) => setTimeout(resolve, 50));
  }
  throw new Error('it never came true');
}

const labels = async (open: Awaited<ReturnType<typeof session>>, line: string): Promise<string[]> => {
  const other = `${FOLDER}/other.pour`;
  const typed = `formula NEW-1 "n"\n  ${line}\n`;
  await open.open(other, typed);
  const list = (await open.client.sendRequest('textDocument/completion', {
    textDocument: { uri: other },
    position: { line: 1, character: 2 + line.length },
  })) as { items: { label: string }[] } | { label: string }[];
  await open.close(other);
  return (Array.isArray(list) ? list : list.items).map(({ label }) => label);
};

it('is offered, led to, renamed and told in hints, hover and findings', async () => {
  const open = await session({ files: { 'book.pour': text }, ports: { learn: async (samples) => learn(samples) } });
  await open.open(uri, text);
  const at = (line: number, character: number) => ({ textDocument: { uri }, position: { line, character } });

  expect(await labels(open, 'undercoat ')).toEqual(expect.arrayContaining(['SEAL', 'formula']));
  expect(await labels(open, 'undercoat formula ')).toEqual(expect.arrayContaining(['PNK-1', 'RED-1']));
  expect(await labels(open, 'undercoat SEAL ')).toEqual(['grey']);

  const [target] = (await open.client.sendRequest('textDocument/definition', at(2, 22))) as {
    range: { start: { line: number } };
  }[];
  expect(text.split('\n')[target!.range.start.line]).toContain('formula PNK-1');
  const edit = (await open.client.sendRequest('textDocument/rename', {
    ...at(2, 22),
    newName: 'PINK',
  })) as WorkspaceEdit;
  const renamed = (edit.documentChanges ?? []).flatMap((one) => ('edits' in one ? one.edits : []));
  expect([...renamed, ...Object.values(edit.changes ?? {}).flat()]).toHaveLength(2);

  const hints = await waitFor(async () => {
    const found = (await open.client.sendRequest('textDocument/inlayHint', {
      textDocument: { uri },
      range: { start: { line: 0, character: 0 }, end: { line: 16, character: 0 } },
    })) as InlayHint[];
    const own = found.filter(
      ({ position: { line }, label }) => [2, 10].includes(line) && String(label).includes('coats'),
    );
    return own.length === 2 ? own : undefined;
  });
  expect(hints[0]!.label).toMatch(/^~[\d.]+ coats, best grey N[\d.]+ ~[\d.]+ predicted$/);
  expect(hints[0]!.tooltip).toContain(
    'over this coloured undercoat and over the best grey, predicted. A card decides.',
  );

  const hover = (await open.client.sendRequest('textDocument/hover', at(0, 9))) as Hover;
  const { value } = hover.contents as { value: string };
  expect(value).toContain('Undercoat first: **SEAL grey N2**');
  expect(value).toContain('Undercoat next: **formula PNK-1**: T0 10.0 g');
  expect(value).toMatch(
    /\*Hides over formula PNK-1 \(L\\?\* \d+\), predicted: about [\d.]+ coats?; a card decides\.\*/,
  );
  expect(value).toMatch(/\*Predicted \(when it hides\): L\\\* a\\\* b\\\* 45\/0 ~\d+ ~?-?\d+ ~?-?\d+ ± [\d.]+ dE00/);

  await open.change(uri, 2, {
    start: { line: 10, character: 0 },
    end: { line: 11, character: 0 },
    text: '  undercoat formula RED-1\n',
  });
  await open.until(() => (open.told.get(uri) ?? []).filter(({ code }) => code === 'undercoat-ring').length === 2);
  open.end();
});
