import { describe, expect, it } from 'vitest';
import type { HistoryAnswer } from '../../../server/review/history.ts';
import { repository, repositoryIn } from './repository.ts';
import { folderOf, pourbook } from './shop.ts';
import { book, card, SHOP } from './small-book.ts';

const REST = book()['rest.pour']!;
const black = (parts: string) => REST.replace('BLK-1 10\n  expect', `BLK-1 ${parts}\n  expect`);

async function historyOf(folder: string, ...args: string[]): Promise<HistoryAnswer> {
  const { out, err } = await pourbook(folder, 'history', ...args, '--json');
  if (out === '') throw new Error(err);
  return JSON.parse(out) as HistoryAnswer;
}

const subjects = ({ steps }: HistoryAnswer) => steps.map(({ subject }) => subject);

describe('history', () => {
  it('follows a formula through edits, a renaming, a move and a formatting, and tells who and what', async () => {
    const made = await repository(book());
    await made.commit('more black', { 'rest.pour': black('12') });
    await made.commit('format', { 'rest.pour': black('12').replaceAll('  toner', '    toner') });
    await made.commit('another formula', { 'other.pour': 'formula X "x"\n  toner WHT-1 1\n' });
    await made.commit('rename', { 'rest.pour': black('12').replaceAll('GUL-2', 'MEW-1') });
    await made.commit('move', { 'rest.pour': null, 'all.pour': black('12').replaceAll('GUL-2', 'MEW-1') });
    await made.commit('less black', { 'all.pour': black('11').replaceAll('GUL-2', 'MEW-1') });
    const history = await historyOf(made.folder, 'MEW-1');
    expect(subjects(history)).toEqual(['less black', 'rename', 'more black', 'first']);
    expect(history.steps[0]).toMatchObject({
      author: 'Rosa Ore',
      id: 'MEW-1',
      formula: { grade: 'needs a spray-out' },
    });
    expect(history.steps[0]!.formula!.toners[1]).toMatchObject({ before: { parts: '12' }, after: { parts: '11' } });
    expect(history.steps[2]).toMatchObject({ id: 'GUL-2' });
    const { out } = await pourbook(made.folder, 'history', 'MEW-1', '--limit', '1');
    expect(out).toContain('Rosa Ore: less black');
    expect(out).toContain('There is more');
  });

  it('counts a card as part of the colour, and a parent as part of its variant', async () => {
    const made = await repository(book());
    await made.commit('card', { 'rest.pour': `${REST}\n${card('C-2', '10', '50.8', '2026-10-01')}` });
    await made.commit('parent', { 'rest.pour': black('12') });
    expect(subjects(await historyOf(made.folder, 'GUL-2'))).toEqual(['parent', 'card', 'first']);
    expect(subjects(await historyOf(made.folder, 'GUL-2/warm'))).toEqual(['parent', 'first']);
    const { out } = await pourbook(made.folder, 'history', 'GUL-2');
    expect(out).toMatch(
      /at 45\/0, the oldest version first:\n.*\n +1 .* 50\.4 0\.0 0\.0 +C-1 +0\.4 of 1\.0 dE00.*\n +2 .* 50\.8 .*C-2 +0\.8 of 1\.0/,
    );
  });

  it('shows the path of the colour as one page, at the angle that is asked for', async () => {
    const made = await repository(book());
    await made.commit('card', { 'rest.pour': `${REST}\n${card('C-2', '10', '50.8', '2026-10-01')}` });
    await made.commit('parent', { 'rest.pour': black('12') });
    const page = (await pourbook(made.folder, 'history', 'GUL-2', '--format', 'html')).out;
    expect(page).toMatch(/^<!doctype html>/);
    expect(page).not.toMatch(/NaN|undefined|<script|src=|href=|url\(/);
    expect(page.match(/<svg xmlns/g)).toHaveLength(1);
    expect(page).toContain('aria-label="At 45/0: 1 measured L* 50.4 a* 0.0 b* 0.0; 2 measured L* 50.8');
    for (const subject of ['3. parent', '2. card', '1. first']) expect(page).toContain(`<h2>${subject}</h2>`);
    const { steps } = await historyOf(made.folder, 'GUL-2');
    expect(steps.map(({ colour }) => colour!.measured?.card)).toEqual([undefined, 'C-2', 'C-1']);
    expect(await pourbook(made.folder, 'history', 'GUL-2', '--angle', '45as15')).toMatchObject({
      code: 2,
      err: expect.stringContaining('Write one of 45/0, or worst, or all'),
    });
    // A reading has a path of its own; of an entry without a colour nothing is drawn.
    expect((await pourbook(made.folder, 'history', 'DOOR')).out).toContain('50.0 0.0 0.0');
    expect((await pourbook(made.folder, 'history', 'BLK-1', '--format', 'html')).out).not.toContain('<svg');
  });

  it('tells a change once, not again by the merge that brought it', async () => {
    const made = await repository(book());
    made.git('checkout', '-q', '-b', 'side');
    await made.commit('on the side', { 'rest.pour': black('12') });
    made.git('checkout', '-q', 'main');
    await made.commit('on main', { 'book.pour': `${SHOP}  takes 3\n` });
    made.git('merge', '-q', '--no-ff', '-m', 'merge', 'side');
    expect(subjects(await historyOf(made.folder, 'GUL-2'))).toEqual(['on the side', 'first']);
  });

  it('goes through a merge of three branches; says where there is no commit yet', async () => {
    const made = await repository(book());
    for (const [branch, file, text] of [
      ['one', 'rest.pour', black('12')],
      ['two', 'a.pour', 'formula A "a"\n  toner WHT-1 1\n'],
      ['three', 'b.pour', 'formula B "b"\n  toner WHT-1 1\n'],
    ] as const) {
      made.git('checkout', '-q', '-b', branch, 'main');
      await made.commit(branch, { [file]: text });
    }
    made.git('checkout', '-q', 'main');
    await made.commit('on main', { 'c.pour': 'formula C "c"\n  toner WHT-1 1\n' });
    made.git('merge', '-q', '-m', 'octopus', 'one', 'two', 'three');
    expect(subjects(await historyOf(made.folder, 'GUL-2'))).toEqual(['one', 'first']);
    const found = JSON.parse((await pourbook(made.folder, 'bisect', 'GUL-2', 'share BLK-1 <= 10 %', '--json')).out);
    expect(found).toMatchObject({ commit: { subject: 'one' }, merges: [{ subject: 'octopus' }] });
    const unborn = await repository();
    await unborn.write('book.pour', SHOP);
    for (const args of [
      ['history', 'GUL-2'],
      ['bisect', 'GUL-2', 'total <= 1'],
    ])
      expect(await pourbook(unborn.folder, ...args)).toMatchObject({
        code: 2,
        err: expect.stringContaining('no commit yet'),
      });
  });

  it('of a reading; in a shallow clone; of nothing', async () => {
    const made = await repository(book());
    await made.commit('read again', { 'rest.pour': REST.replace('lab 45/0 50 0 0', 'lab 45/0 51 0 0') });
    expect(subjects(await historyOf(made.folder, 'DOOR'))).toEqual(['read again', 'first']);
    expect(await pourbook(made.folder, 'history', 'NOPE')).toMatchObject({
      code: 2,
      err: expect.stringContaining("no entry 'NOPE'"),
    });
    const clone = await folderOf({});
    repositoryIn(clone).git('clone', '-q', '--depth', '1', `file://${made.folder}`, '.');
    // What came with the commit at which the clone ends cannot be told from what was there before.
    expect(await historyOf(clone, 'GUL-2')).toMatchObject({ steps: [], cutOff: 'shallow' });
    expect((await pourbook(clone, 'history', 'GUL-2')).out).toMatch(/^The clone is shallow/);
  });
});

describe('bisect', () => {
  it('finds the commit after which a fact stopped holding, in a long history', async () => {
    const made = await repository(book());
    for (let index = 0; index < 20; index++)
      await made.commit(`step ${index}`, {
        'rest.pour': black(`${10 + index * 0.25}`),
        [`n${index}.pour`]: `formula N-${index} "n"\n  toner WHT-1 1\n`,
      });
    // 10 + 0.25 n parts of 100 + 0.25 n: above 12 % from 100 n > 2.2 · 120 ... the 10th step (12.5 of 102.5 is 12.2 %).
    const { out, code } = await pourbook(made.folder, 'bisect', 'GUL-2', 'expect share BLK-1 <= 12 %', '--json');
    expect(code).toBe(0);
    const found = JSON.parse(out);
    expect(found.commit.subject).toBe('step 10');
    expect(found.lookedAt).toBeLessThan(12);
    expect((await pourbook(made.folder, 'bisect', 'GUL-2', 'share', 'BLK-1', '<=', '12', '%')).out).toContain(
      'Rosa Ore: step 10',
    );
  });

  it('follows a formula back through its names, and through a move', async () => {
    const made = await repository(book());
    await made.commit('more black', { 'rest.pour': black('12') });
    await made.commit('rename', { 'rest.pour': black('12').replaceAll('GUL-2', 'MEW-1') });
    await made.commit('move', { 'rest.pour': null, 'all.pour': black('12').replaceAll('GUL-2', 'MEW-1') });
    for (let index = 0; index < 9; index++)
      await made.commit(`step ${index}`, { 'n.pour': `formula N "n"\n  toner WHT-1 ${index + 1}\n` });
    const found = JSON.parse((await pourbook(made.folder, 'bisect', 'MEW-1', 'share BLK-1 <= 10 %', '--json')).out);
    expect(found).toMatchObject({ id: 'MEW-1', called: 'GUL-2', commit: { subject: 'more black' }, merges: [] });
    const { out } = await pourbook(made.folder, 'bisect', 'MEW-1', 'share BLK-1 <= 10 %');
    expect(out).toContain('stopped holding for MEW-1, then called GUL-2, with\n');
  });

  it('goes into the branch by which a merge brought it, and names the merge where neither side had it', async () => {
    const made = await repository(book());
    made.git('checkout', '-q', '-b', 'side');
    await made.commit('a note', { 'rest.pour': `${REST}\n# a note\n` });
    await made.commit('more black on the side', { 'rest.pour': black('12') });
    await made.commit('another note', { 'rest.pour': `${black('12')}\n# a note\n` });
    made.git('checkout', '-q', 'main');
    for (const name of ['a', 'b'])
      await made.commit(`${name} on main`, { [`${name}.pour`]: `formula ${name} "x"\n  toner WHT-1 1\n` });
    made.git('merge', '-q', '--no-ff', '-m', 'brings it', 'side');
    await made.commit('later', { 'c.pour': 'formula c "x"\n  toner WHT-1 1\n' });
    const found = JSON.parse((await pourbook(made.folder, 'bisect', 'GUL-2', 'share BLK-1 <= 10 %', '--json')).out);
    expect(found.commit.subject).toBe('more black on the side');
    expect(found.merges.map(({ subject }: { subject: string }) => subject)).toEqual(['brings it']);

    // Each side alone keeps the price below; both together do not.
    const both = await repository(book());
    const price = (of: string) => ({ 'toners.pour': book()['toners.pour']!.replace('40 EUR', of) });
    both.git('checkout', '-q', '-b', 'side');
    await both.commit('dearer', price('70 EUR'));
    both.git('checkout', '-q', 'main');
    await both.commit('more black', { 'rest.pour': black('15') });
    both.git('merge', '-q', '--no-ff', '-m', 'both', 'side');
    const cost = JSON.parse((await pourbook(both.folder, 'bisect', 'GUL-2', 'cost <= 17 EUR/kg', '--json')).out);
    expect(cost).toMatchObject({ commit: { subject: 'both' }, merges: [] });
    expect(cost.told).toContain('the paint costs');
  });

  it('sees a file that a card names, as history does', async () => {
    const csv = (lightness: string) => `name,geometry,L,a,b\nC-1,45/0,${lightness},0,0\n`;
    const named = REST.replace('  lab 45/0 50.4 0 0\n', '  file "card.csv"\n');
    const made = await repository({ ...book(), 'rest.pour': named, 'card.csv': csv('50.4') });
    await made.commit('read again', { 'card.csv': csv('53') });
    await made.commit('other', { 'n.pour': 'formula N "n"\n  toner WHT-1 1\n' });
    const found = JSON.parse(
      (await pourbook(made.folder, 'bisect', 'GUL-2', 'sprayout worst <= 1.0 dE00', '--json')).out,
    );
    expect(found.commit.subject).toBe('read again');
    expect(subjects(await historyOf(made.folder, 'C-1'))).toEqual(['read again', 'first']);
    expect(subjects(await historyOf(made.folder, 'GUL-2'))).toEqual(['read again', 'first']);
  });

  it('says what cannot be looked for', async () => {
    const made = await repository(book());
    for (const [expectation, words] of [
      ['share BLK-1 <= 12 %', 'holds for GUL-2: there is nothing to look for'],
      ['share BLK-1 less than 12 %', 'cannot be read'],
      ['sprayout at 45as15 <= 1.0 dE00', 'cannot be told'],
      ['predicted worst <= 1.0 dE00', 'no optics.lock is recorded'],
      ['coats <= 3', 'no optics.lock is recorded'],
    ] as const)
      expect(await pourbook(made.folder, 'bisect', 'GUL-2', expectation)).toMatchObject({
        code: 2,
        err: expect.stringContaining(words),
      });
    const never = await pourbook(made.folder, 'bisect', 'GUL-2', 'share BLK-1 <= 1 %');
    expect(never).toMatchObject({ code: 1, out: expect.stringContaining('held for GUL-2 in no commit') });
  });
});
