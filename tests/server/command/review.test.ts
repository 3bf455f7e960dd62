import { describe, expect, it } from 'vitest';
import type { Review } from '../../../server/review/review.ts';
import { repository, repositoryIn } from './repository.ts';
import { folderOf, pourbook } from './shop.ts';
import { book, card, FORMULA, greyDifference, SHOP, STANDARD } from './small-book.ts';

const edited = (...pairs: readonly (readonly [string, string])[]): string =>
  pairs.reduce((text, [from, to]) => {
    expect(text).toContain(from);
    return text.replace(from, to);
  }, book()['rest.pour']!);

async function reviewOf(folder: string, ...args: string[]): Promise<Review> {
  const { out, err } = await pourbook(folder, 'review', ...args, '--json');
  if (out === '') throw new Error(err);
  return JSON.parse(out) as Review;
}

/** A repository of the small book with one change of it on top. */
async function changed(files: Readonly<Record<string, string | null>>, ...more: readonly string[]) {
  const made = await repository(book(...more));
  await made.commit('second', files);
  return reviewOf(made.folder, 'HEAD~1..HEAD');
}

describe('what counts as a change', () => {
  it('is not the layout, the comments, the order of entries or the file', async () => {
    const made = await repository(book());
    const text = book()['rest.pour']!;
    const shuffled = text
      .split('\n\n')
      .reverse()
      .join('\n\n')
      .replaceAll('\n  ', '\n\t  ')
      .replace('toner WHT-1 90', 'toner   WHT-1   90.00 # all of it');
    await made.commit('second', { 'rest.pour': null, 'formulas/all.pour': shuffled });
    const { out, code } = await pourbook(made.folder, 'review', 'HEAD~1..HEAD', '--fail-on', 'any');
    const [old, now] = [made.git('rev-parse', 'HEAD~1'), made.git('rev-parse', 'HEAD')].map((one) => one.slice(0, 10));
    expect(out).toMatch(`HEAD (${now}) against HEAD~1 (${old}): nothing that the book says has changed.`);
    expect(code).toBe(0);
  });

  it('is a new name, recognised, with everything that named it', async () => {
    const { formulas, entries } = await changed({ 'rest.pour': edited().replaceAll('GUL-2', 'MEW-1') });
    expect(formulas.map(({ id, was, from, grade }) => ({ id, was, from, grade }))).toEqual([
      { id: 'MEW-1', was: 'renamed', from: 'GUL-2', grade: 'no change in colour' },
      { id: 'MEW-1/warm', was: 'renamed', from: 'GUL-2/warm', grade: 'no change in colour' },
    ]);
    expect(entries).toEqual([]);
  });

  it('is no colour where all parts are scaled by one number, though the pours stay too', async () => {
    const { formulas } = await changed({
      'rest.pour': edited(['WHT-1 90\n  toner BLK-1 10\n  expect', 'WHT-1 45\n  toner BLK-1 5\n  expect']),
    });
    const [own] = formulas.filter(({ id }) => id === 'GUL-2');
    expect(own).toMatchObject({ grade: 'no change in colour', scaledBy: '0.5', callOuts: [] });
    expect(own!.sentence).toBe('No change in colour: the same paint, all parts times 0.5.');
    expect(own!.toners.map(({ relative }) => relative)).toEqual([0, 0]);
    expect(own!.batches).toEqual([]);
    // But the variant adds one part to half as much.
    expect(formulas.find(({ id }) => id === 'GUL-2/warm')).toMatchObject({ grade: 'needs a spray-out' });
  });
});

describe('what a change of toners does', () => {
  const batch = 'batch 2026-09-20-A of GUL-2\n  make 100 g\n  poured WHT-1 90 g\n  poured BLK-1 10 g\n';

  it('tells parts, shares, grams, cost, batches, variants, and that nobody has seen it', async () => {
    const { formulas } = await changed(
      { 'rest.pour': `${edited(['BLK-1 10\n  expect', 'BLK-1 12.5\n  expect'])}\n${batch}` },
      batch,
    );
    const own = formulas.find(({ id }) => id === 'GUL-2')!;
    expect(own).toMatchObject({
      was: 'changed',
      grade: 'needs a spray-out',
      batches: ['2026-09-20-A'],
      variants: ['GUL-2/warm'],
      status: { before: 'approved by RO on 2026-09-10', after: 'approved by RO on 2026-09-10' },
      place: { file: 'rest.pour' },
    });
    expect(own.toners[1]).toMatchObject({
      code: 'BLK-1',
      before: { parts: '10', share: 10, grams: '20.0' },
      after: { parts: '12.5', grams: '24.4' },
    });
    // 12.5 of 102.5 parts against 10 of 100.
    expect(own.toners[1]!.after!.share).toBeCloseTo(12.1951, 4);
    expect(own.toners[1]!.relative).toBeCloseTo(21.9512, 4);
    // (180 g at 10 + 20 g at 40) and (175.61 g and 24.39 g), EUR/kg.
    expect(own.cost.before!.money).toEqual(['2.60 EUR']);
    expect(own.cost.after!.money).toEqual(['2.73 EUR']);
    expect(own.callOuts.map(({ what }) => what)).toEqual(['approval is of the earlier paint']);
    expect(own.expectations).toMatchObject([{ text: 'sprayout worst <= 1.0 dE00', before: 'holds', after: 'open' }]);
    expect(formulas.find(({ id }) => id === 'GUL-2/warm')).toMatchObject({
      was: 'reached',
      because: ['formula GUL-2'],
    });
  });

  it.each([
    ['50.9', 'within tolerance'],
    ['52.5', 'visible'],
  ])('measured from card to card at L* %s: %s', async (lightness, grade) => {
    const now = `${edited(['BLK-1 10\n  expect', 'BLK-1 9\n  expect'])}\n${card('C-2', '9', lightness, '2026-10-01')}`;
    const { formulas } = await changed({ 'rest.pour': now });
    const own = formulas.find(({ id }) => id === 'GUL-2')!;
    expect(own.grade).toBe(grade);
    expect(own.shift).toMatchObject({ basis: 'measured', plusMinus: null });
    expect(own.againstStandard.after!.worst.dE00).toBeCloseTo(greyDifference(Number(lightness)), 3);
    expect(own.againstStandard.before!.worst.dE00).toBeCloseTo(greyDifference(50.4), 3);
    expect(own.shift!.angles[0]!.direction).toMatch(/lighter/);
  });

  it('a grey below it, and a pour order, are told apart from the colour', async () => {
    const grey = await changed({ 'rest.pour': edited(['SEAL grey N5', 'SEAL grey N4']) });
    expect(grey.formulas.map(({ id, grade }) => [id, grade])).toEqual([
      ['GUL-2', 'needs a spray-out'],
      ['GUL-2/warm', 'needs a spray-out'],
    ]);
    const order = await changed({
      'rest.pour': edited([
        '  toner WHT-1 90\n  toner BLK-1 10\n  expect',
        '  toner BLK-1 10\n  toner WHT-1 90\n  expect',
      ]),
    });
    expect(order.formulas.find(({ id }) => id === 'GUL-2')!.sentence).toBe(
      'No change in colour: the same paint in another pour order.',
    );
  });

  it('a price reaches the formulas of the toner and no colour', async () => {
    const made = await repository(book());
    await made.commit('second', { 'toners.pour': book()['toners.pour']!.replace('40 EUR', '60 EUR') });
    const { formulas, entries } = await reviewOf(made.folder, 'HEAD~1..HEAD');
    expect(entries).toMatchObject([
      { entry: 'toner BLK-1', words: ['price'], place: { file: 'toners.pour', line: 3 } },
    ]);
    expect(formulas.map(({ id, grade, because }) => [id, grade, because])).toEqual([
      ['GUL-2', 'no change in colour', ['toner BLK-1']],
      ['GUL-2/warm', 'no change in colour', ['toner BLK-1']],
    ]);
  });
});

describe('what a system adds to its paint', () => {
  const toners = (share: string, note: string, density: string) =>
    `${book()['toners.pour']!.replace(
      '"Waterborne"\n',
      `"Waterborne"\n  reducer RED-1 ${share} of paint by weight\n  note "${note}"\n`,
    )}\ntoner RED-1 "Reducer"\n  density ${density}\n`;

  it.each([
    ['more of a reducer reaches its formulas', toners('30 %', 'Stir.', '1.0 g/ml'), 2, ['system WB']],
    ['what the reducer is, too', toners('15 %', 'Stir.', '0.9 g/ml'), 2, ['toner RED-1']],
    ['a note reaches none', toners('15 %', 'Stir well.', '1.0 g/ml'), 0, ['system WB']],
  ] as const)('%s', async (_, changed, count, entries) => {
    const made = await repository({ ...book(), 'toners.pour': toners('15 %', 'Stir.', '1.0 g/ml') });
    await made.commit('second', { 'toners.pour': changed });
    const found = await reviewOf(made.folder, 'HEAD~1..HEAD');
    expect(found.entries.map(({ entry }) => entry)).toEqual(entries);
    expect(found.formulas.length + found.untouched).toBe(count);
  });
});

describe('what a formula is held against', () => {
  const off = card('C-2', '10', '53', '2026-10-01');

  it('a standard that was moved so that it fits is called out', async () => {
    const { formulas } = await changed(
      { 'rest.pour': `${edited([STANDARD, STANDARD.replace('50 0 0', '53 0 0')])}\n${off}` },
      off,
    );
    const own = formulas.find(({ id }) => id === 'GUL-2')!;
    expect(own.grade).toBe('no change in colour');
    expect(own.callOuts.map(({ what }) => what)).toEqual(['standard moved']);
    expect(own.expectations).toMatchObject([{ before: 'fails', after: 'holds' }]);
  });

  it('a tolerance too, and an expectation that is no longer stated', async () => {
    const widened = {
      'book.pour': SHOP.replace('1.0 dE00', '4.0 dE00'),
      'rest.pour': `${edited(['  expect sprayout worst <= 1.0 dE00\n', ''])}\n${off}`,
    };
    const { formulas } = await changed(widened, off);
    expect(formulas.find(({ id }) => id === 'GUL-2')!.callOuts.map(({ what }) => what)).toEqual([
      'tolerance moved',
      'expectation dropped',
    ]);
  });

  it('an expectation that stops holding fails the review from broken on', async () => {
    const made = await repository(book());
    await made.commit('second', { 'rest.pour': `${edited()}\n${off}` });
    for (const [level, code] of [
      ['none', 0],
      ['broken', 1],
      ['any', 1],
    ] as const)
      expect((await pourbook(made.folder, 'review', 'HEAD~1..HEAD', '--fail-on', level)).code).toBe(code);
    const { out } = await pourbook(made.folder, 'review', 'HEAD~1..HEAD');
    expect(out).toContain('! "sprayout worst <= 1.0 dE00" does not hold any more. It finds: card C-2 is off by 2.');
  });
});

describe('where the versions come from', () => {
  it('the files as they lie there, ranges, and where a branch left', async () => {
    const made = await repository(book());
    made.git('checkout', '-q', '-b', 'side');
    await made.commit('side', {
      'rest.pour': edited(['WHT-1 90\n  toner BLK-1 10\n  expect', 'WHT-1 91\n  toner BLK-1 10\n  expect']),
    });
    made.git('checkout', '-q', 'main');
    await made.commit('main', { 'book.pour': SHOP.replace('Coachworks', 'Coach Works') });
    expect((await reviewOf(made.folder, 'main...side')).formulas.map(({ id }) => id)).toEqual(['GUL-2', 'GUL-2/warm']);
    expect((await reviewOf(made.folder, 'main...side')).entries).toEqual([]);
    expect((await reviewOf(made.folder, 'main..side')).entries.map(({ entry }) => entry)).toEqual(['book']);
    await made.write('rest.pour', edited(['200 g', '300 g']));
    const here = await reviewOf(made.folder, 'HEAD');
    expect(here).toMatchObject({ before: 'HEAD', after: 'the files as they are' });
    expect(here.formulas[0]!.target).toEqual({ before: '200 g as poured', after: '300 g as poured' });
  });

  it('two folders', async () => {
    const folder = await folderOf(
      Object.fromEntries(
        Object.entries(book()).flatMap(([name, text]) => [
          [`old/${name}`, text],
          [`new/${name}`, text.replace('BLK-1 10\n  expect', 'BLK-1 11\n  expect')],
        ]),
      ),
    );
    expect((await reviewOf(folder, 'old', 'new')).formulas.map(({ id }) => id)).toEqual(['GUL-2', 'GUL-2/warm']);
  });

  it('a book in a folder of the repository, with CRLF, beside a submodule and a link', async () => {
    const inner = await repository({ 'x.pour': FORMULA });
    const made = await repository({
      'shop/book.pour': SHOP.replaceAll('\n', '\r\n'),
      'shop/rest.pour': edited().replaceAll('\n', '\r\n'),
      'other/b.pour': FORMULA,
    });
    made.git('-c', 'protocol.file.allow=always', 'submodule', '--quiet', 'add', inner.folder, 'shop/inner');
    await made.commit('second', {
      'shop/rest.pour': edited(['WHT-1 90\n  toner BLK-1 10\n  expect', 'WHT-1 90\n  toner BLK-1 11\n  expect']),
      'other/b.pour': '',
    });
    const found = await reviewOf(made.folder, 'HEAD~1..HEAD', '--book', 'shop');
    expect(found.formulas.map(({ id, place }) => [id, place.file])).toEqual([
      ['GUL-2', 'rest.pour'],
      ['GUL-2/warm', 'rest.pour'],
    ]);
    expect(found.formulas[0]!.place.line).toBe(edited().split('\n').indexOf('formula GUL-2 "Gull Grey"') + 1);
  });

  it('a merge of three branches', async () => {
    const made = await repository(book('formula CHK-1 "Chalk"\n  toner WHT-1 100\n'));
    for (const [branch, file] of [
      ['one', 'a'],
      ['two', 'b'],
      ['three', 'c'],
    ] as const) {
      made.git('checkout', '-q', '-b', branch, 'main');
      await made.commit(branch, { [`${file}.pour`]: `formula ${branch} "${branch}"\n  toner WHT-1 100\n` });
    }
    made.git('checkout', '-q', 'main');
    made.git('tag', 'start');
    made.git('merge', '-q', '-m', 'octopus', 'one', 'two', 'three');
    expect((await reviewOf(made.folder, 'start..HEAD')).formulas.map(({ id, was }) => [id, was])).toEqual([
      ['one', 'added'],
      ['three', 'added'],
      ['two', 'added'],
    ]);
  });

  it('a shallow clone, a repository without a commit, no repository, and names that are none', async () => {
    const empty = await repository();
    await empty.write('book.pour', SHOP);
    expect(await pourbook(empty.folder, 'review', 'HEAD')).toMatchObject({
      code: 2,
      err: expect.stringContaining('no commit yet'),
    });
    const made = await repository(book());
    await made.commit('second', { 'book.pour': `${SHOP}  takes 3\n` });
    const clone = await folderOf({});
    repositoryIn(clone).git('clone', '-q', '--depth', '1', `file://${made.folder}`, '.');
    expect(await pourbook(clone, 'review', 'HEAD~1')).toMatchObject({
      code: 2,
      err: expect.stringContaining('shallow'),
    });
    expect((await pourbook(clone, 'review', 'HEAD')).code).toBe(0);
    for (const name of ['--output=x', '-x', 'a b', 'no-such-branch', 'HEAD..--exec=x']) {
      const { code, err } = await pourbook(made.folder, 'review', '--', name);
      expect(code, name).toBe(2);
      expect(err).not.toContain('at ');
    }
    const plain = await folderOf({ 'book.pour': SHOP });
    expect(await pourbook(plain, 'review', 'HEAD')).toMatchObject({
      code: 2,
      err: expect.stringContaining('no git repository'),
    });
  });

  it('a file that a reading names, of which only the values changed', async () => {
    const csv = (lightness: string) => `name,geometry,L,a,b\nDoor,45/0,${lightness},0,0\n`;
    const named = edited(['  lab 45/0 50 0 0\n', '  file "door.csv"\n']);
    const made = await repository({ ...book(), 'rest.pour': named, 'door.csv': csv('50') });
    await made.commit('second', { 'door.csv': csv('53') });
    const { entries } = await reviewOf(made.folder, 'HEAD~1..HEAD');
    expect(entries).toMatchObject([{ entry: 'reading DOOR', words: ['file'] }]);
  });
});

it('says the same of a part of the book as of the whole', async () => {
  const others = Array.from(
    { length: 30 },
    (_, index) => `formula F-${index} "f"\n  toner WHT-1 ${index + 1}\n  toner BLK-1 1\n`,
  );
  const made = await repository(book(...others));
  await made.commit('second', {
    'rest.pour': [edited(['BLK-1 10\n  expect', 'BLK-1 11\n  expect']), ...others].join('\n'),
  });
  const part = await reviewOf(made.folder, 'HEAD~1..HEAD');
  expect(part.formulas).toHaveLength(2);
  // A change of the book's settings makes it read everything.
  await made.commit('third', { 'book.pour': SHOP.replace('Coachworks', 'Coach Works') });
  const whole = await reviewOf(made.folder, 'HEAD~2..HEAD');
  expect(whole.formulas.map(({ because: _, ...rest }) => rest)).toEqual(
    part.formulas.map(({ because: _, ...rest }) => rest),
  );
  expect(whole.untouched).toBe(30);
});
