import { truncate } from 'node:fs/promises';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { pages } from '../../../server/book/manual.ts';
import { folderOf, pourbook } from './shop.ts';

const WHOLE = 'book "Saltmarsh"\n  language 1\n  scale 0.1 g\n';
const BROKEN = 'formula F "Marram"\n  tonner A 5\n';

it('is clean with exit code 0', async () => {
  const folder = await folderOf({ 'book.pour': WHOLE });
  const { code, out } = await pourbook(folder, 'check', '--json');
  expect(code).toBe(0);
  expect(JSON.parse(out)).toEqual({ findings: [], files: 1, entries: 1 });
});

it('tells every finding with file, line and column, and ends with 1', async () => {
  const folder = await folderOf({ 'book.pour': WHOLE, 'deep/broken.pour': BROKEN });
  const { code, out } = await pourbook(folder, 'check', '--json');
  expect(code).toBe(1);
  expect(JSON.parse(out).findings).toContainEqual({
    code: 'word-unknown',
    severity: 'error',
    file: 'deep/broken.pour',
    line: 2,
    column: 3,
    message: expect.stringMatching(/'tonner' is no word of a formula.*'toner'/),
  });
  const text = await pourbook(folder, 'check');
  expect(text.out).toMatch(/^deep\/broken\.pour:2:3: error: .*\[word-unknown\]$/m);
});

it('reports on the named files alone, and on a name that is not there with 2', async () => {
  const folder = await folderOf({ 'book.pour': WHOLE, 'broken.pour': BROKEN });
  expect((await pourbook(folder, 'check', 'book.pour')).code).toBe(0);
  expect((await pourbook(folder, 'check', 'broken.pour')).code).toBe(1);
  const { code, out, err } = await pourbook(folder, 'check', 'boook.pour');
  expect([code, out]).toEqual([2, '']);
  expect(err).toMatch(/There is no file or folder .*boook\.pour/);
});

it('cannot run without a book', async () => {
  const folder = await folderOf({ 'read.me': '' });
  expect(await pourbook(folder, 'check')).toMatchObject({
    code: 2,
    err: expect.stringMatching(/holds no \.pour file/),
  });
  expect((await pourbook(folder, 'check', '--book', 'nowhere')).code).toBe(2);
});

it('explains a finding by its code, from the manual, without a book', async () => {
  const folder = await folderOf({});
  const { code, out } = await pourbook(folder, 'check', '--explain', 'word-unknown');
  expect(code).toBe(0);
  expect(out).toMatch(/^word-unknown: A line begins with a word that is not known there\.\n/);
  const page = pages.get('word-unknown')!;
  expect(out.split('\n').slice(1).join(' ')).toBe(page.text.replaceAll('`', "'"));
  expect(Math.max(...out.split('\n').map((line) => line.length))).toBeLessThan(100);
  expect(JSON.parse((await pourbook(folder, 'check', '--explain', 'word-unknown', '--json')).out)).toEqual(page);
  expect(await pourbook(folder, 'check', '--explain', 'word-unknwon')).toMatchObject({
    code: 2,
    err: expect.stringMatching(/Did you mean 'word-unknown'\?/),
  });
});

it('reads no file that is too large for an editor, and says so', async () => {
  const folder = await folderOf({ 'book.pour': WHOLE, 'dump.pour': '' });
  await truncate(join(folder, 'dump.pour'), 50_000_001);
  const { code, err } = await pourbook(folder, 'check');
  expect([code, err]).toEqual([2, expect.stringMatching(/dump\.pour' has 51 MB; a file of a book has at most 50 MB/)]);
});
