import { execFileSync } from 'node:child_process';
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { entry } from '../answers/entry.ts';
import { folderOf, pourbook } from './shop.ts';

const BOOK =
  entry('book "b"', 'scale 0.1 g', 'voc eu-2004-42 topcoat') +
  entry('formula F "Green"', 'toner A 41.20', 'toner B 22.60', 'toner C 1.25', 'toner D 34.95') +
  ['A', 'B', 'C', 'D'].map((id) => entry(`toner ${id} "${id}"`, 'density 1 g/ml', 'solids 60 % weight')).join('');

const folder = () => folderOf({ 'book.pour': BOOK });
const json = async (...args: string[]) =>
  JSON.parse((await pourbook(await folder(), 'mix', 'F', ...args, '--json')).out);

describe('mix', () => {
  it('says what a weight in ounces is on a scale that shows grams', async () => {
    // 8 x 28.349523125 g (NIST Handbook 44) = 226.796185 g.
    expect(await json('--weight', '8oz-av')).toMatchObject({ basis: ['8 oz-av = 226.8 g.'], total: '226.8' });
    expect((await json('--weight', '0.2268kg')).basis).toEqual([]);
  });

  it('says how the booth is written', async () => {
    const { err, code } = await pourbook(await folder(), 'mix', 'F', '--weight', '80g', '--booth', 'hot');
    expect(err).toContain('for example 21C or 21C,45%RH');
    expect(code).toBe(2);
  });

  it('keeps its shape, and adds volume, VOC, cost, ready to spray and cautions', async () => {
    const sheet = await json('--weight', '80g');
    expect(sheet.pours.map((pour: { cumulative: string }) => pour.cumulative)).toEqual([
      '33.0',
      '51.0',
      '52.0',
      '80.0',
    ]);
    expect(sheet).toMatchObject({ formula: 'F', weight: '80', weighable: '80.0', undercoat: null, total: '80.0' });
    expect(sheet.volume).toEqual({ millilitres: 80, density: 1, missing: [] });
    expect(sheet.voc).toMatchObject({
      regime: 'eu-2004-42',
      date: '2026-11-25',
      actual: 400,
      lessWater: 400,
      limit: 420,
      within: true,
    });
    expect(sheet.cost.unpriced).toEqual(['A', 'B', 'C', 'D']);
    expect(sheet.readyToSpray).toBeNull();
    expect(sheet.cautions.at(-1).id).toBe('authority');
  });

  it('takes a weight, a volume or an area, one of them', async () => {
    expect((await json('--volume', '0.5l')).total).toBe('500.0');
    expect((await json('--weight', '0.5l')).total).toBe('500.0');
    // 40 % of weight leaves at 0.88 g/ml (ISO 3233-3): 1 - 0.4 / 0.88 stay; 1 m2 x 18 um / 0.54545 / 0.6 = 55.0 ml.
    expect((await json('--area', '1m2', '--film', '18um', '--transfer', '60%')).total).toBe('55.0');
    const twice = await pourbook(await folder(), 'mix', 'F', '--weight', '80g', '--area', '1m2');
    expect(twice).toMatchObject({ code: 2, out: '', err: 'Ask for a weight, a volume or an area, not for several.' });
    expect((await pourbook(await folder(), 'mix', 'F', '--volume', '80g')).err).toContain('a volume is needed');
    expect((await pourbook(await folder(), 'mix', 'F')).err).toContain('--weight 80g');
  });

  it('is printed as text, HTML, CSV and JSON', async () => {
    const as = async (format: string) =>
      (await pourbook(await folder(), 'mix', 'F', '--weight', '80g', '--format', format)).out;
    expect(await as('text')).toContain('28.0       80.0');
    expect(await as('html')).toMatch(/^<!doctype html>/);
    expect(await as('csv')).toContain('colour,top,D,D,28.0,80.0');
    expect(JSON.parse(await as('json')).revision).toBe('no revision');
    expect((await pourbook(await folder(), 'mix', 'F', '--format', 'pdf')).code).toBe(2);
  });

  it('marks the revision of the book, and that it was changed since', async () => {
    const place = await folder();
    const git = (...args: string[]) =>
      execFileSync('git', ['-c', 'user.name=t', '-c', 'user.email=t@example.org', ...args], { cwd: place });
    git('init', '-q');
    git('add', '.');
    git('commit', '-q', '-m', 'book');
    const revision = async () =>
      JSON.parse((await pourbook(place, 'mix', 'F', '--weight', '80g', '--json')).out).revision;
    expect(await revision()).toMatch(/^[0-9a-f]{7,}$/);
    writeFileSync(join(place, 'book.pour'), `${BOOK}# more\n`);
    expect(await revision()).toMatch(/^[0-9a-f]{7,} and unsaved changes$/);
  });
});

it('mix uses up what is left of another batch, within the time that it keeps', async () => {
  const yesterday = new Date(Date.now() - 86_400_000).toISOString().slice(0, 16);
  const batch = (mixed: string) =>
    entry(
      'batch B-1 of F',
      'make 80 g',
      `mixed ${mixed}Z`,
      'poured A 33.0 g',
      'poured B 18.0 g',
      'poured C 1.0 g',
      'poured D 28.0 g',
    );
  const text = `${BOOK.replace('"Green"\n', '"Green"\n  system S\n')}${entry('system S "s"', 'keeps 3 days')}`;
  const of = async (mixed: string, ...args: string[]) =>
    pourbook(await folderOf({ 'book.pour': text + batch(mixed) }), 'mix', 'F', '--weight', '80g', ...args);
  const used = await of(yesterday, '--leftover', 'B-1:35g');
  expect(used.code).toBe(0);
  expect(used.out).toContain('left of B-1    35.0       35.0');
  const sheet = JSON.parse((await of(yesterday, '--leftover', 'B-1:35g', '--json')).out);
  expect(sheet.leftover).toEqual({ batch: 'B-1', coat: 'top', grams: '35.0', least: '35.00' });
  expect(sheet.pours.at(-1)).toMatchObject({ toner: 'D', cumulative: '80.0' });
  expect((await of(yesterday, '--leftover', 'B-1:35g', '--format', 'html')).out).toContain('left of B-1');
  expect(await of('2026-01-02T08:00', '--leftover', 'B-1:35g')).toMatchObject({
    code: 2,
    err: expect.stringContaining('paint of S keeps 3 days'),
  });
  expect((await of(yesterday, '--leftover', 'B-1')).err).toContain('for example 2026-10-02-A:35g');
  expect((await of(yesterday, '--leftover', 'B-1:35ml')).err).toContain('a mass is needed');
});

it('show tells a batch: poured, in the cup, next and the ways out', async () => {
  const place = await folderOf({ 'book.pour': BOOK + entry('batch B-1 of F', 'make 80 g', 'poured A 36.0 g') });
  const { code, out } = await pourbook(place, 'show', 'B-1', '--json');
  expect(code).toBe(0);
  expect(JSON.parse(out)).toMatchObject({
    kind: 'batch',
    poured: [{ toner: 'A', grams: '36.0' }],
    inCup: '36.0',
    next: { toner: 'B', grams: '18.0', cumulative: '54.0' },
    choices: [{ kind: 'leave' }, { kind: 'exact' }, { kind: 'draw off' }, { kind: 'start again' }],
  });
});
