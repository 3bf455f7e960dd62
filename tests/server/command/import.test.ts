import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { entry } from '../answers/entry.ts';
import { CGATS, CSV, CXF } from '../formats/samples.ts';
import { folderOf, pourbook } from './shop.ts';

it('writes entries to standard output, which the book then reads without an error', async () => {
  const folder = await folderOf({ 'day.cgats': CGATS, 'book.pour': entry('book "b"', 'takes 1') });
  const { code, out } = await pourbook(folder, 'import', 'day.cgats');
  expect(code).toBe(0);
  expect(out).toMatch(/^reading SAM-door "SAM door"$/m);
  const again = await folderOf({ 'book.pour': entry('book "b"', 'takes 1'), 'day.pour': out });
  const checked = await pourbook(again, 'check', '--json');
  expect(JSON.parse(checked.out).findings).toEqual([]);
});

it('needs no book, but a book that is named has to be there', async () => {
  const folder = await folderOf({ 'day.cgats': CGATS });
  expect((await pourbook(folder, 'import', 'day.cgats')).code).toBe(0);
  const { code, err } = await pourbook(folder, 'import', 'day.cgats', '--book', 'elsewhere');
  expect(code).toBe(2);
  expect(err).toContain('There is no folder');
});

it('writes a new file, and never over one that is there', async () => {
  const folder = await folderOf({ 'day.csv': CSV, 'kept.pour': '# mine\n' });
  const first = await pourbook(folder, 'import', 'day.csv', '--out', 'new.pour');
  expect([first.code, first.out]).toEqual([0, '']);
  expect(await readFile(join(folder, 'new.pour'), 'utf8')).toContain('reading SAM-door "SAM door"');
  const second = await pourbook(folder, 'import', 'day.csv', '--out', 'kept.pour');
  expect(second.code).toBe(2);
  expect(second.err).toContain('kept.pour is there already and was not touched');
  expect(await readFile(join(folder, 'kept.pour'), 'utf8')).toBe('# mine\n');
});

it('refuses a broken file as a whole, with the place', async () => {
  const folder = await folderOf({ 'day.cgats': CGATS.replace('24.10', 'x'), 'half.cxf': CXF.slice(0, 700) });
  const { code, out, err } = await pourbook(folder, 'import', 'day.cgats', '--out', 'new.pour');
  expect([code, out]).toEqual([2, '']);
  expect(err).toMatch(/^day\.cgats:15:\d+: error: /m);
  await expect(readFile(join(folder, 'new.pour'))).rejects.toThrow();
  const half = await pourbook(folder, 'import', 'half.cxf', '--json');
  expect(half.code).toBe(2);
  expect(JSON.parse(half.out)).toMatchObject({ readings: [], text: '', findings: [{ severity: 'error' }] });
  expect(half.err).toMatch(/^half\.cxf:\d+:\d+: error: /m);
});

it('gives JSON of a stable shape', async () => {
  const folder = await folderOf({ 'day.cgats': CGATS });
  const { out } = await pourbook(folder, 'import', 'day.cgats', '--json');
  const answer = JSON.parse(out);
  expect(Object.keys(answer)).toEqual(['readings', 'text', 'findings']);
  expect(answer.readings).toEqual([{ id: 'SAM-door', name: 'SAM door' }]);
});

it('warns with exit code 1 of an angle that nobody says, and takes the one that is said', async () => {
  const folder = await folderOf({ 'day.csv': 'name,illuminant,observer,L,a,b\ndoor,D65,10,50,2,3\n' });
  const unsaid = await pourbook(folder, 'import', 'day.csv');
  expect(unsaid.code).toBe(1);
  expect(unsaid.err).toMatch(/^day\.csv:2:\d+: warning: .*angle/m);
  const said = await pourbook(folder, 'import', 'day.csv', '--geometry', '45/0');
  expect(said.code).toBe(0);
  expect(said.out).toContain('lab 45/0 50 2 3');
});

it('tells what is wrong with the question', async () => {
  const folder = await folderOf({ 'day.csv': CSV });
  const wrong = async (...args: string[]) => {
    const { code, out, err } = await pourbook(folder, 'import', ...args);
    expect([code, out]).toEqual([2, '']);
    return err;
  };
  expect(await wrong('none.csv')).toContain('There is no file none.csv');
  expect(await wrong('day.csv', '--scale', 'hundred')).toContain('Write fraction');
  expect(await wrong('day.csv', '--geometry', '45')).toContain('is not a measuring geometry');
});
