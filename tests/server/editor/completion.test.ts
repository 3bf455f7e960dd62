import { expect, test } from 'vitest';
import { type CompletionItem, CompletionRequest, SignatureHelpRequest } from 'vscode-languageserver-protocol/node';
import { cursorIn, edited, FOLDER, type SessionOptions, session } from './session.ts';

const SHELF = `book "Shop"
  scale 0.1 g
  illuminants A/10 D65/10

system WB "Waterborne"
system SB "Two-pack"

instrument BENCH-2 "five-angle"
  geometry 45as15 45as45

toner BLK-1 "Carbon black"
  system WB
toner GRN-2 "Green"
  system WB
toner GRN-9 "Other green"
  system SB
toner BND-0 "Binder"
  system WB

undercoat SEAL "Sealer"
  grey N9.5 toner BND-0 100
  grey N2 toner BLK-1 100

reading SAM "door"
  lab 45as15 60 -18 9

formula SAM-31 "Samphire Green"
  maker Marram
  system WB
  toner GRN-2 41.20
  toner BND-0 58.80
formula OTHER "Other"
  maker "Sea Lavender"
  toner BND-0 100
`;

const SNIPPETS: SessionOptions = {
  capabilities: { textDocument: { completion: { completionItem: { snippetSupport: true } } } },
};

/** What is offered at the `|` of a second file beside the shelf. */
async function offered(
  marked: string,
  options: SessionOptions = {},
): Promise<{ text: string; items: CompletionItem[] }> {
  const { text, position } = cursorIn(marked);
  const { client, open, end } = await session({ files: { 'shelf.pour': SHELF }, ...options });
  const uri = `${FOLDER}/new.pour`;
  await open(`${FOLDER}/shelf.pour`, SHELF);
  await open(uri, text);
  const list = await client.sendRequest(CompletionRequest.type, { textDocument: { uri }, position });
  end();
  const items = Array.isArray(list) ? list : (list?.items ?? []);
  return { text, items: items.sort((a, b) => (a.sortText! < b.sortText! ? -1 : 1)) };
}

const labels = async (marked: string, options?: SessionOptions) =>
  (await offered(marked, options)).items.map((item) => item.label);

test('at the margin stand the words that begin an entry', async () => {
  expect(await labels('|')).toEqual(expect.arrayContaining(['formula', 'toner', 'reading', 'batch']));
  expect(await labels('form|')).toEqual(['formula']);
  expect(await labels('formula F "x"\n  maker Marram\n|')).not.toContain('maker');
});

test('an editor with snippets is offered whole entries, one with its own is not', async () => {
  const { items } = await offered('form|', SNIPPETS);
  const entry = items.find((item) => item.label === 'formula …')!;
  expect(entry.insertTextFormat).toBe(2);
  expect((entry.textEdit as { newText: string }).newText).toMatch(/^formula \$\{1:[^}]+\} .*\n(.*\n)* {2}undercoat /);
  expect(await labels('form|', { ...SNIPPETS, initializationOptions: { snippets: false } })).toEqual(['formula']);
});

test('indented stand the words of the entry, those that may be said once only while they are not there', async () => {
  const words = await labels('formula F "x"\n  maker Marram\n  |\n  toner GRN-2 1\n');
  expect(words).toEqual(expect.arrayContaining(['undercoat', 'target', 'toner', 'note']));
  expect(words).not.toContain('maker');
  expect(words).not.toContain('lab');
  expect(words).not.toContain('formula');
});

test('the editor is asked to suggest again behind a word, when it names the command', async () => {
  const again = { initializationOptions: { suggestAgain: 'suggest' } };
  const [item] = (await offered('formula F "x"\n  unde|', again)).items;
  expect(item).toMatchObject({
    label: 'undercoat',
    command: { command: 'suggest' },
    textEdit: { newText: 'undercoat ' },
  });
  expect((await offered('formula F "x"\n  unde|')).items[0]).not.toHaveProperty('command');
});

test('ids stand with the most used first; those of another paint system last; those with a line already not', async () => {
  expect(await labels('formula F "x"\n  toner |')).toEqual(['BND-0', 'BLK-1', 'GRN-2', 'GRN-9']);
  expect(await labels('formula F "x"\n  system SB\n  toner BND-0 1\n  toner |')).toEqual(['GRN-9', 'BLK-1', 'GRN-2']);
  expect(await labels('formula F "x"\n  toner grn|')).toEqual(['GRN-2', 'GRN-9']);
});

test('a batch and a variant are offered the toners of their formula first', async () => {
  expect((await labels('batch B of SAM-31\n  poured |')).slice(0, 2)).toEqual(['BND-0', 'GRN-2']);
  expect((await labels('variant SAM-31/dark "x"\n  without |')).slice(0, 2)).toEqual(['BND-0', 'GRN-2']);
  expect((await labels('variant OTHER/dark "x"\n  toner |'))[0]).toBe('BND-0');
});

test('the whole atom is replaced, before and behind the cursor', async () => {
  for (const [marked, wanted] of [
    ['formula F "x"\n  toner BLK-| 1.25\n', 'formula F "x"\n  toner BLK-1 1.25\n'],
    ['formula F "x"\n  toner BL|K-7 1.25\n', 'formula F "x"\n  toner BLK-1 1.25\n'],
    ['variant SAM|\n', 'variant SAM-31/\n'],
    ['formula F "x"\r\n  toner BLK-|\r\n  note "😀"\r\n', 'formula F "x"\r\n  toner BLK-1\r\n  note "😀"\r\n'],
  ]) {
    const { text, items } = await offered(marked!);
    expect(edited(text, [items[0]!.textEdit as never])).toBe(wanted);
  }
});

test('behind a number stand the units of what is measured', async () => {
  const masses = await labels('formula F "x"\n  target weight 250 |');
  expect(masses.slice(0, 2)).toEqual(['g', 'kg']);
  expect(masses).not.toContain('ml');
  expect(await labels('formula F "x"\n  target weight 250|')).toContain('250 g');
  expect(await labels('toner T "x"\n  price 38.50 |')).toContain('EUR/l');
  expect(await labels('formula F "x"\n  expect sprayout worst <= 1.0 |')).toEqual(
    expect.arrayContaining(['dE00', 'dE76']),
  );
  expect(await labels('formula F "x"\n  expect voc <= 420 |')).toContain('g/l');
  expect(await labels('formula F "x"\n  expect cost <= 30 |')).toEqual(
    expect.arrayContaining(['EUR/kg', 'EUR/l', 'EUR']),
  );
  expect(await labels('formula F "x"\n  expect total = 100 |')).not.toContain('g');
});

test('geometries are those of the instrument, viewings those of the shop first, greys those measured first', async () => {
  expect(await labels('reading R "x"\n  taken 2026-10-14 with BENCH-2\n  lab |')).toEqual(['45as15', '45as45']);
  expect((await labels('reading R "x"\n  lab 45as15 |')).slice(0, 3)).toEqual(
    expect.arrayContaining(['A/10', 'D65/10']),
  );
  expect((await labels('formula F "x"\n  undercoat SEAL grey |')).slice(0, 3)).toEqual(['N9.5', 'N2', 'N1']);
  expect(await labels('formula F "x"\n  undercoat SEAL |')).toEqual(['grey']);
});

test('names that the book has said are offered, in quotes where they need them', async () => {
  expect(await labels('formula F "x"\n  maker |')).toEqual(['Marram', '"Sea Lavender"']);
});

test('nothing stands in comments, in texts and where nothing fits', async () => {
  expect(await labels('formula F "x"\n  # ton|')).toEqual([]);
  expect(await labels('formula F "x"\n  note "ton|')).toEqual([]);
  expect(await labels('formula F "x"\n  toner GRN-2 1.25 |')).toEqual([]);
  expect(await labels('formula F "x" # |')).toEqual([]);
});

test('half-typed lines above and below change nothing', async () => {
  expect(await labels('formula F "x\n  toner\n  undercoat SEAL grey N\n  toner |\n  toner GRN-2\nvariant')).toContain(
    'BLK-1',
  );
});

test('signature help marks the place at the cursor', async () => {
  const active = async (marked: string) => {
    const { text, position } = cursorIn(marked);
    const { client, open, end } = await session();
    const uri = `${FOLDER}/new.pour`;
    await open(uri, text);
    const help = await client.sendRequest(SignatureHelpRequest.type, { textDocument: { uri }, position });
    end();
    if (!help) return null;
    const { label, parameters } = help.signatures[0]!;
    const span = parameters![help.activeParameter!]?.label as [number, number] | undefined;
    return { label, at: span && label.slice(...span) };
  };
  expect(await active('formula F "x"\n  toner |')).toEqual({ label: 'toner ‹toner› ‹parts›', at: '‹toner›' });
  expect((await active('formula F "x"\n  toner GRN-2 4|1.2'))?.at).toBe('‹parts›');
  expect((await active('formula F "x"\n  undercoat SEAL grey |'))?.at).toBe('‹grey›');
  expect((await active('formula F "x"\n  toner GRN-2 41.2 |'))?.at).toBeUndefined();
  expect(await active('formula F "x"\n  # |')).toBeNull();
  expect(await active('|')).toBeNull();
});
