/** The merge driver as git calls it: merges, rebases, criss-cross; and how it is set up and taken out. */
import { spawnSync } from 'node:child_process';
import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { lockOf } from '../review/lock.ts';
import { COMMAND } from './bundled.ts';
import { type Repository, repository } from './repository.ts';
import { folderOf, pourbook } from './shop.ts';

const TEXT = `formula A "a"
  target weight 250 g
  toner X 1.0
  toner Y 2.0
  note "n"
`;

async function driven(text = TEXT): Promise<Repository> {
  const made = await repository({ 'a.pour': text });
  const { code } = await pourbook(made.folder, 'git-setup', '--yes', '--command', COMMAND);
  expect(code).toBe(0);
  await made.commit('set up', {});
  return made;
}

const read = ({ folder }: Repository, path = 'a.pour') => readFile(join(folder, path), 'utf8');

async function branched(made: Repository, ours: string, theirs: string): Promise<void> {
  made.git('checkout', '-q', '-b', 'side');
  await made.commit('theirs', { 'a.pour': theirs });
  made.git('checkout', '-q', 'main');
  await made.commit('ours', { 'a.pour': ours });
}

it('merges and rebases what plain git would not', async () => {
  const made = await driven();
  await branched(made, TEXT.replace('X 1.0', 'X 1.5'), TEXT.replace('weight 250', 'weight 300'));
  made.git('merge', '-q', '-m', 'merge', 'side');
  expect(await read(made)).toBe(TEXT.replace('X 1.0', 'X 1.5').replace('weight 250', 'weight 300'));
  made.git('reset', '-q', '--hard', 'HEAD~1');
  made.git('rebase', '-q', 'side');
  expect(await read(made)).toBe(TEXT.replace('X 1.0', 'X 1.5').replace('weight 250', 'weight 300'));
});

it('leaves a true conflict to the person, between markers', async () => {
  const made = await driven(TEXT.replaceAll('\n', '\r\n'));
  const windows = (text: string) => text.replaceAll('\n', '\r\n');
  await branched(made, windows(TEXT.replace('X 1.0', 'X 1.5')), windows(TEXT.replace('X 1.0', 'X 1.6')));
  expect(() => made.git('merge', '-q', 'side')).toThrow();
  expect(await read(made)).toBe(
    windows(TEXT.replace('  toner X 1.0\n', '<<<<<<< ours\n  toner X 1.5\n=======\n  toner X 1.6\n>>>>>>> theirs\n')),
  );
  expect(made.git('status', '--short')).toBe('UU a.pour');
  expect((await pourbook(made.folder, 'check')).out).toContain('[conflict]');
});

it('merges through a criss-cross, where the common ancestor is itself a merge', async () => {
  const made = await driven();
  await branched(made, TEXT.replace('X 1.0', 'X 1.5'), TEXT.replace('X 1.0', 'X 1.6'));
  const [ours, theirs] = [made.git('rev-parse', 'main'), made.git('rev-parse', 'side')];
  for (const [branch, other, value] of [
    ['main', theirs, '1.7'],
    ['side', ours, '1.7'],
  ] as const) {
    made.git('checkout', '-q', branch);
    expect(() => made.git('merge', '-q', other)).toThrow();
    await made.commit(`merge into ${branch}`, { 'a.pour': TEXT.replace('X 1.0', `X ${value}`) });
  }
  made.git('checkout', '-q', 'main');
  await made.commit('ours', { 'a.pour': TEXT.replace('X 1.0', 'X 1.7').replace('Y 2.0', 'Y 2.5') });
  made.git('merge', '-q', '-m', 'last', 'side');
  expect(await read(made)).toBe(TEXT.replace('X 1.0', 'X 1.7').replace('Y 2.0', 'Y 2.5'));
});

/** Both sides branch off the book as it is and are merged; whatever git says of it. */
async function mergedSides(
  made: Repository,
  ours: Readonly<Record<string, string | null>>,
  theirs: Readonly<Record<string, string | null>>,
): Promise<boolean> {
  made.git('checkout', '-q', '-b', 'side');
  await made.commit('theirs', theirs);
  made.git('checkout', '-q', 'main');
  await made.commit('ours', ours);
  try {
    made.git('merge', '-q', '-m', 'merge', 'side');
    return true;
  } catch {
    return false;
  }
}

const codes = async ({ folder }: Repository): Promise<string[]> =>
  JSON.parse((await pourbook(folder, 'check', '--json')).out).findings.map(({ code }: { code: string }) => code);

describe('an entry in two files', () => {
  const TONERS = 'toner X "x"\ntoner Y "y"\n';
  const OTHER = 'formula B "b"\n  toner X 1\n';
  const files = async (made: Repository) =>
    (await Promise.all(['a.pour', 'b.pour', 'c.pour'].map((path) => read(made, path).catch(() => '')))).join('');

  it('moved by one side and changed by the other is a conflict, and check names both places', async () => {
    const made = await driven(TEXT + OTHER);
    await made.commit('toners', { 't.pour': TONERS });
    const clean = await mergedSides(
      made,
      { 'a.pour': OTHER, 'b.pour': TEXT },
      { 'a.pour': TEXT.replace('X 1.0', 'X 1.5') + OTHER },
    );
    expect(clean).toBe(false);
    const all = await files(made);
    expect(all).toContain('toner X 1.5');
    expect(all).toContain('toner X 1.0');
    expect(await codes(made)).toContain('conflict');
    // Whoever takes their side and leaves the moved entry is told.
    await made.write('a.pour', TEXT.replace('X 1.0', 'X 1.5') + OTHER);
    expect(await codes(made)).toContain('id-twice');
  });

  it('moved by both sides to different files stands twice, and check says so', async () => {
    const made = await driven(TEXT + OTHER);
    await made.commit('toners', { 't.pour': TONERS });
    expect(await mergedSides(made, { 'a.pour': OTHER, 'b.pour': TEXT }, { 'a.pour': OTHER, 'c.pour': TEXT })).toBe(
      true,
    );
    expect((await files(made)).match(/^formula A /gm)).toHaveLength(2);
    expect(await codes(made)).toContain('id-twice');
  });

  it('written by both sides in different files stands twice, and check says so', async () => {
    const made = await driven(OTHER);
    await made.commit('toners', { 't.pour': TONERS });
    expect(await mergedSides(made, { 'b.pour': TEXT }, { 'c.pour': TEXT.replace('X 1.0', 'X 1.5') })).toBe(true);
    expect(await codes(made)).toContain('id-twice');
  });

  it('in a file that one side renamed and the other changed is merged', async () => {
    const made = await driven(TEXT + OTHER);
    await made.commit('toners', { 't.pour': TONERS });
    const clean = await mergedSides(
      made,
      { 'a.pour': null, 'b.pour': TEXT.replace('weight 250', 'weight 300') + OTHER },
      { 'a.pour': TEXT.replace('X 1.0', 'X 1.5') + OTHER },
    );
    expect(clean).toBe(true);
    expect(await read(made, 'b.pour')).toBe(TEXT.replace('weight 250', 'weight 300').replace('X 1.0', 'X 1.5') + OTHER);
    expect(await codes(made)).not.toContain('id-twice');
  });
});

it('merges optics.lock fit by fit, says what to learn again, and never stops for it', async () => {
  const made = await driven();
  const lock = (solid: string, effect: string) => ({
    'optics.lock': lockOf({ 'WB solid': solid, 'WB effect': effect }),
  });
  await made.commit('learned', lock('k1', 'k1'));
  expect(await mergedSides(made, lock('k2', 'k1'), lock('k1', 'k3'))).toBe(true);
  expect(await read(made, 'optics.lock')).toBe(lock('k2', 'k3')['optics.lock']);
  made.git('checkout', '-q', '-B', 'side', 'HEAD');
  await made.commit('theirs', lock('k4', 'k3'));
  made.git('checkout', '-q', 'main');
  await made.commit('ours', lock('k5', 'k3'));
  const { stderr, status } = spawnSync(
    'git',
    ['-c', 'user.name=R', '-c', 'user.email=r@x', 'merge', '-m', 'm', 'side'],
    {
      cwd: made.folder,
      encoding: 'utf8',
    },
  );
  expect({ stderr, status }).toMatchObject({
    status: 0,
    stderr: expect.stringContaining(
      'optics.lock: both sides learned solid WB; ours stands. Once the cards are merged, write it again',
    ),
  });
  expect(await read(made, 'optics.lock')).toBe(lock('k5', 'k3')['optics.lock']);
});

it('tells on the command line what it could not merge, and what nobody has seen', async () => {
  const folder = await folderOf({
    o: TEXT,
    a: TEXT.replace('X 1.0', 'X 1.5'),
    b: TEXT.replace('Y 2.0', 'Y 2.5'),
    c: TEXT.replace('X 1.0', 'X 1.6'),
  });
  const clean = await pourbook(folder, 'merge', 'o', 'a', 'b', 'book/a.pour', '--stdout');
  expect(clean.code).toBe(0);
  expect(clean.out).toContain('# merged: both sides');
  expect(clean.err).toBe(
    "book/a.pour: formula:A was put together of both sides' changes. Nobody has seen this paint: look at it, spray it out.",
  );
  const clash = await pourbook(folder, 'merge', 'o', 'a', 'c', '--marker-size', '9');
  expect(clash).toMatchObject({ code: 1, err: 'a: conflict in formula:A: both sides changed toner X.' });
  expect(await readFile(join(folder, 'a'), 'utf8')).toContain('\n<<<<<<<<< ours\n');
  expect((await pourbook(folder, 'merge', 'o', 'a', 'nowhere')).code).toBe(2);
});

it('leaves bytes that are no UTF-8 to git', async () => {
  const latin = (text: string) => new Uint8Array(Buffer.from(text.replace('"n"', '"Gr\u00fcn"'), 'latin1'));
  const folder = await folderOf({
    o: latin(TEXT),
    a: latin(TEXT.replace('weight 250', 'weight 300')),
    b: latin(`${TEXT}\n# more\n`),
  });
  expect(await pourbook(folder, 'merge', 'o', 'a', 'b')).toMatchObject({
    code: 0,
    err: 'a is no UTF-8: merged by lines.',
  });
  const merged = await readFile(join(folder, 'a'));
  expect(merged.includes(0xfc)).toBe(true);
  expect(merged.toString('latin1')).toContain('weight 300');
});

it('sets git up once, names the entry in its diffs, and is undone with one command', async () => {
  const made = await repository({
    'a.pour': `${TEXT}  note "o"\n  note "p"\n  note "q"\n`,
    '.gitattributes': '*.png binary',
  });
  const refused = await pourbook(made.folder, 'git-setup');
  expect(refused).toMatchObject({ code: 2, err: 'Nothing was changed, since nobody can be asked here: add --yes.' });
  expect(await read(made, '.gitattributes')).toBe('*.png binary');
  const before = made.git('config', '--local', '--list');
  for (let time = 0; time < 2; time++) expect((await pourbook(made.folder, 'git-setup', '--yes')).code).toBe(0);
  expect((await read(made, '.gitattributes')).split('\n').filter((line) => line.includes('pourbook'))).toHaveLength(3);
  expect(made.git('config', 'merge.pourbook.driver')).toBe('pourbook merge --marker-size=%L %O %A %B %P');
  await made.write('a.pour', (await read(made)).replace('"q"', '"Q"'));
  expect(made.git('diff')).toMatch(/^@@ .* @@ formula A "a"$/m);
  expect((await pourbook(made.folder, 'git-setup', '--undo', '--yes')).code).toBe(0);
  expect(await read(made, '.gitattributes')).toBe('*.png binary\n');
  expect(made.git('config', '--local', '--list')).toBe(before);
});
