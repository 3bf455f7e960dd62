/** What git keeps, against what git itself says of it. */
import { execFileSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { Objects, treeEntries } from '../../../server/command/git-objects.ts';

const folder = mkdtempSync(join(tmpdir(), 'pourbook-objects-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** Sizes about the pieces in which a pipe hands bytes on. */
const SIZES = [0, 1, 65_535, 65_536, 65_537, 300_001];

describe.each(['sha1', 'sha256'])('in a repository of %s names', (format) => {
  const root = join(folder, format);
  const git = (...args: string[]) =>
    execFileSync('git', ['-c', 'user.name=R', '-c', 'user.email=r@saltmarsh.example', ...args], {
      cwd: root,
    }).toString();
  mkdirSync(join(root, 'shop', 'käse'), { recursive: true });
  git('init', '-q', `--object-format=${format}`);
  const bytes = (size: number) => Buffer.from(Array.from({ length: size }, (_, index) => (index * 7 + size) % 256));
  for (const size of SIZES) writeFileSync(join(root, 'shop', `b ${size}.bin`), bytes(size));
  writeFileSync(join(root, 'shop', 'käse', 'line\nend.pour'), 'book "K"\n');
  symlinkSync('b 1.bin', join(root, 'shop', 'link'));
  git('add', '-A');
  git('commit', '-q', '-m', 'c');
  const head = git('rev-parse', 'HEAD').trim();

  it('gives every object whole, in whatever order they are asked for at once', async () => {
    const objects = new Objects(root);
    const ids = SIZES.map((size) => git('rev-parse', `HEAD:shop/b ${size}.bin`).trim());
    const read = await Promise.all(
      [...ids, ...ids.toReversed()].map((id) => objects.read(id, (one) => Buffer.from(one.bytes))),
    );
    objects.close();
    const wanted = [...SIZES, ...SIZES.toReversed()].map(bytes);
    expect(read.map((one, index) => one?.equals(wanted[index]!))).toEqual(wanted.map(() => true));
  });

  it('lists folders as git does', async () => {
    const objects = new Objects(root);
    const top = await objects.read(`${head}^{tree}`, treeEntries);
    const shop = await objects.read(top!.find(({ name }) => name === 'shop')!.id, treeEntries);
    objects.close();
    const listed = git('ls-tree', '-z', 'HEAD:shop').split('\0').slice(0, -1);
    expect(shop!.map(({ mode, id, name }) => `${mode.padStart(6, '0')} ${id}\t${name}`)).toEqual(
      listed.map((line) => line.replace(/ (blob|tree) /, ' ')),
    );
  });

  it('gives nothing for what is not there, and goes on', async () => {
    const objects = new Objects(root);
    const missing = objects.read('0'.repeat(head.length - 1).concat('1'), () => 'there');
    const there = objects.read(head, ({ type }) => type);
    expect(await Promise.all([missing, there])).toEqual([undefined, 'commit']);
    objects.close();
  });
});

it('says what is wrong outside of a repository, to all that wait and all that come later', async () => {
  const objects = new Objects(folder);
  const asked = Promise.allSettled([objects.read('HEAD', () => 1), objects.read('HEAD~1', () => 1)]);
  const told = [...(await asked), ...(await Promise.allSettled([objects.read('HEAD', () => 1)]))];
  for (const one of told)
    expect(one).toMatchObject({
      status: 'rejected',
      reason: { message: expect.stringContaining('in no git repository') },
    });
});
