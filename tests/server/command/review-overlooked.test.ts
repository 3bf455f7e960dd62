/** What a reviewer must not overlook, each made in a repository of its own. */
import { describe, expect, it } from 'vitest';
import { replaced, reviewed } from './reviewed.ts';
import { book, card, greyDifference } from './small-book.ts';

const REST = book()['rest.pour']!;
const EXPECT = '  expect sprayout worst <= 1.0 dE00\n';
const edited = (...pairs: readonly (readonly [string, string])[]): string =>
  pairs.reduce((text, [from, to]) => replaced(text, from, to), REST);

describe('what an expectation is held against', () => {
  it('taken out is called out, be it the line of the standard or the standard itself', async () => {
    for (const [from, to, told] of [
      ['  standard DOOR\n', '', 'the formula has no standard'],
      ['reading DOOR "Door"\n  surface cleared polished\n  lab 45/0 50 0 0\n', '', 'the formula has no standard'],
      ['lab 45/0 50 0 0', 'lab 45as15 50 0 0', 'card and standard have no angle in common under D65/10'],
    ] as const) {
      const { of, out, failsOn } = await reviewed(book(), { 'rest.pour': edited([from, to]) });
      expect(of('GUL-2').expectations).toMatchObject([{ before: 'holds', after: 'open' }]);
      expect(out('GUL-2')['expectation left open']).toBe(
        `"sprayout worst <= 1.0 dE00" held and can be held against nothing any more: ${told}.`,
      );
      expect(await failsOn('broken')).toBe(true);
    }
  });

  it('the card, the target weight, a price: taken out they are called out', async () => {
    const shown = card('C-1', '10', '50.4', '2026-09-09');
    const none = await reviewed(book(), { 'rest.pour': edited([shown, '']) });
    expect(none.out('GUL-2')['expectation left open']).toContain('no card shows the formula as it is now');
    expect(none.out('GUL-2')['approved without a card']).toContain(
      'and card C-1 that showed the paint as it is was taken',
    );
    const stated = (text: string) => edited([EXPECT, `  expect ${text}\n`]);
    for (const [text, from] of [
      ['pour BLK-1 >= 2 g', '  target weight 200 g as poured\n'],
      ['cost <= 30 EUR/kg', '  price 40 EUR/kg\n'],
    ] as const) {
      const before = { ...book(), 'rest.pour': stated(text) };
      const [name] = Object.entries(before).find(([, all]) => all.includes(from))!;
      const after = { [name]: replaced(before[name as keyof typeof before]!, from, '') };
      expect((await reviewed(before, after)).out('GUL-2')['expectation left open'], text).toContain(`"${text}" held`);
    }
  });

  it('another paint that no card shows yet only waits for its card', async () => {
    const { out } = await reviewed(book(), { 'rest.pour': edited(['BLK-1 10\n  expect', 'BLK-1 12\n  expect']) });
    expect(Object.keys(out('GUL-2'))).toEqual(['approval is of the earlier paint']);
  });

  it('a standard that a card was held against is called out without an expectation, too', async () => {
    const before = { ...book(), 'rest.pour': edited([EXPECT, '']) };
    const { out } = await reviewed(before, { 'rest.pour': replaced(before['rest.pour'], '  standard DOOR\n', '') });
    expect(out('GUL-2')['standard taken out']).toMatch(
      /^Nothing says any more what it has to look like: it was held against DOOR\. \S/,
    );
  });
});

describe('an expectation that was written otherwise', () => {
  const off = card('C-2', '10', '53', '2026-10-01');
  const figure = greyDifference(53).toFixed(2);

  it('so that it holds is called out with what it was, whether it failed before or the card is new', async () => {
    const looser = edited([EXPECT, EXPECT.replace('1.0', '4.0')]);
    for (const before of [book(off), book()]) {
      const { of, out, failsOn, written } = await reviewed(before, { 'rest.pour': `${looser}\n${off}` });
      expect(of('GUL-2').expectations).toMatchObject([{ was: 'sprayout worst <= 1.0 dE00', after: 'holds' }]);
      expect(out('GUL-2')).toEqual({
        'expectation loosened': `"sprayout worst <= 4.0 dE00" holds only because it was loosened: by "sprayout worst <= 1.0 dE00" it would not. It finds: card C-2 is off by ${figure} dE00 at 45/0.`,
      });
      expect(await failsOn('broken')).toBe(true);
      expect(await written('text')).toContain(
        'Expectation "sprayout worst <= 1.0 dE00" → "sprayout worst <= 4.0 dE00": ',
      );
    }
  });

  it('or taken out in the same change that breaks it', async () => {
    const { out } = await reviewed(book(), { 'rest.pour': `${edited([EXPECT, ''])}\n${off}` });
    expect(out('GUL-2')['expectation dropped']).toBe(
      `It no longer states "sprayout worst <= 1.0 dE00", which would not hold. It finds: card C-2 is off by ${figure} dE00 at 45/0.`,
    );
  });

  it('is not called out where it held and holds: looser, tighter or taken out', async () => {
    for (const to of [EXPECT.replace('1.0', '2.0'), EXPECT.replace('1.0', '0.8'), '']) {
      const { out, written } = await reviewed(book(), { 'rest.pour': edited([EXPECT, to]) });
      expect(out('GUL-2'), to).toEqual({});
      // But told.
      for (const format of ['text', 'markdown', 'html'])
        expect(await written(format), format).toMatch(/Expectation ("|&quot;)/);
    }
  });

  it('nor one that failed and is taken out once it holds', async () => {
    const mended = card('C-3', '10', '50.2', '2026-11-01');
    const { out } = await reviewed(book(off), { 'rest.pour': `${edited([EXPECT, ''])}\n${off}\n${mended}` });
    expect(out('GUL-2')).toEqual({});
  });

  it('a tighter one that does not hold fails, and was never said before', async () => {
    const { out } = await reviewed(book(), { 'rest.pour': edited([EXPECT, EXPECT.replace('1.0', '0.2')]) });
    expect(out('GUL-2')['expectation fails']).toMatch(/^"sprayout worst <= 0\.2 dE00" does not hold\. It finds/);
  });
});

describe('what is no longer in the book', () => {
  const deeper = 'variant GUL-2/warm/deep "Deep"\n  toner BLK-1 +2\n  expect total = 103\n';
  const without = (text: string, head: string) =>
    text
      .split('\n\n')
      .filter((entry) => !entry.startsWith(head))
      .join('\n\n');

  it('a parent leaves its variants unknown, near and far: no figure of their own lines alone', async () => {
    const { review, of, failsOn, written } = await reviewed(book(deeper), {
      'rest.pour': without(book(deeper)['rest.pour']!, 'formula GUL-2'),
    });
    expect(review.formulas.map(({ id, grade }) => [id, grade])).toEqual([
      ['GUL-2/warm', 'cannot be mixed'],
      ['GUL-2/warm/deep', 'cannot be mixed'],
      ['GUL-2', 'gone'],
    ]);
    expect(of('GUL-2').variants).toEqual(['GUL-2/warm', 'GUL-2/warm/deep']);
    for (const id of ['GUL-2/warm', 'GUL-2/warm/deep']) {
      expect(of(id)).toMatchObject({ shift: null, toners: [], callOuts: [] });
      for (const figure of ['cost', 'voc', 'coats', 'againstStandard', 'expectedOff'] as const)
        expect(of(id)[figure].after, figure).toBeNull();
      expect(of(id).sentence).toBe(
        'Cannot be mixed, and nothing can be predicted of it: GUL-2, from which it derives, is no longer in the book.',
      );
    }
    expect(of('GUL-2/warm/deep').expectations).toMatchObject([{ after: 'open' }]);
    expect(await failsOn('broken')).toBe(true);
    expect(JSON.parse(await written('sarif')).runs[0].results).toMatchObject([
      { ruleId: 'colour-cannot-be-mixed', level: 'error' },
      { ruleId: 'colour-cannot-be-mixed', level: 'error' },
    ]);
    expect(await written('junit')).toContain('<failure type="cannot be mixed"');
    for (const format of ['text', 'markdown', 'html']) expect(await written(format)).toMatch(/Cannot be mixed, and/);
  });

  it('a toner, taken out or under another name, is named at every formula that pours it', async () => {
    const toners = book()['toners.pour']!;
    const gone = await reviewed(book(), { 'toners.pour': without(toners, 'toner BLK-1') });
    const renamed = await reviewed(book(), { 'toners.pour': toners.replace('toner BLK-1', 'toner INK-1') });
    for (const id of ['GUL-2', 'GUL-2/warm']) {
      expect(gone.of(id).sentence).toMatch(/toner BLK-1, which is poured for it, is no longer in the book\.$/);
      expect(renamed.of(id).sentence).toMatch(/is no longer in the book \(INK-1 is what it is called now\)\.$/);
      expect(gone.of(id).toners.map(({ code, relative }) => [code, relative])).toEqual([
        ['WHT-1', 0],
        ['BLK-1', 0],
      ]);
    }
    expect(await renamed.written('text')).toContain('Through toner INK-1 (renamed from BLK-1).');
  });

  it('an undercoat, a standard and a system are called out, of a formula that names none of them anew too', async () => {
    for (const [file, head, told] of [
      [
        'rest.pour',
        'undercoat SEAL',
        'Its undercoat SEAL is no longer in the book: nothing tells what it is sprayed on.',
      ],
      [
        'rest.pour',
        'reading DOOR',
        'Its standard DOOR is no longer in the book: nothing tells what it has to look like.',
      ],
      [
        'toners.pour',
        'system WB',
        'Its system WB is no longer in the book: nothing tells how it is made ready to spray.',
      ],
    ] as const) {
      const { out, failsOn } = await reviewed(book(), { [file]: without(book()[file]!, head) });
      expect(out('GUL-2')['names what is gone']).toBe(told);
      expect(await failsOn('broken')).toBe(true);
    }
    const { out } = await reviewed(book(), { 'rest.pour': edited(['standard DOOR', 'standard DOR']) });
    expect(out('GUL-2')['names what is gone']).toContain('Its standard DOR is no longer in the book');
  });

  it('so is a hardener or reducer that its system adds', async () => {
    const toners = book()['toners.pour']!.replace(
      '"Waterborne"\n',
      '"Waterborne"\n  reducer RED-1 15 % of paint by weight\n',
    );
    const reducer = '\ntoner RED-1 "Reducer"\n  density 1.0 g/ml\n';
    const { out } = await reviewed({ ...book(), 'toners.pour': toners + reducer }, { 'toners.pour': toners });
    expect(out('GUL-2')['names what is gone']).toBe('RED-1, which makes it ready to spray, is no longer in the book.');
  });

  it('what was missing before is no news', async () => {
    const before = { ...book(), 'rest.pour': edited(['standard DOOR', 'standard DOR']) };
    const { out } = await reviewed(before, { 'rest.pour': replaced(before['rest.pour'], 'Gull Grey', 'Gull') });
    expect(out('GUL-2')).toEqual({});
  });

  it('a new formula that pours what the book does not have cannot be mixed either', async () => {
    const { of } = await reviewed(book(), { 'new.pour': 'formula NEW-1 "New"\n  toner NONE-1 1\n' });
    expect(of('NEW-1').sentence).toMatch(/toner NONE-1, which is poured for it, is not in the book\.$/);
  });
});

describe('lines that cannot be read', () => {
  const slips = edited([
    'toner WHT-1 90\n  toner BLK-1 10\n  expect',
    'toner WHT-1 90\n  tonner BLK-1 1.0.0\n  expect',
  ]);
  const line = slips.split('\n').indexOf('  tonner BLK-1 1.0.0') + 1;

  it('are told in every form, with what to sign nothing from, and fail a build', async () => {
    const { review, of, failsOn, written } = await reviewed(book(), { 'rest.pour': slips });
    expect(review.unread).toEqual([
      {
        file: 'rest.pour',
        line,
        entry: 'formula GUL-2',
        text: 'tonner BLK-1 1.0.0',
        problem: "'tonner' is no word of a formula.",
      },
    ]);
    const place = `rest.pour:${line}`;
    for (const id of ['GUL-2', 'GUL-2/warm']) {
      expect(of(id).grade).toBe('cannot be read');
      expect(of(id).sentence).toMatch(
        /^Not to be signed from: 1 line .*cannot be read \(rest\.pour:\d+\), see pourbook check\. As far/,
      );
    }
    expect(of('GUL-2/warm').sentence).toContain('1 line that it hangs on (formula GUL-2)');
    expect(await failsOn('broken')).toBe(true);
    expect(await failsOn('none')).toBe(false);
    for (const format of ['text', 'html']) {
      const text = await written(format);
      expect(text).toContain('1 line cannot be read, and what it says is in no figure here: see pourbook check.');
      expect(text).toContain(`${place} (formula GUL-2)`);
    }
    expect(await written('markdown')).toContain('⚠ **1 line cannot be read');
    expect(JSON.parse(await written('sarif')).runs[0].results[0]).toMatchObject({
      ruleId: 'line-cannot-be-read',
      level: 'error',
      locations: [{ physicalLocation: { region: { startLine: line } } }],
    });
    expect(await written('junit')).toContain(`<testcase name="${place}" classname="lines that cannot be read">`);
  });

  it('of a card, a toner, an undercoat reach the formulas that hang on them', async () => {
    for (const [file, from, to, entry] of [
      ['rest.pour', '  sprayed 2026-09-09\n', '  sprayed 2026-09-99\n', 'sprayout C-1'],
      ['toners.pour', '  price 40 EUR/kg\n', '  price 40 EUR a pound\n', 'toner BLK-1'],
      ['rest.pour', '  grey N9 toner', '  gray N9 toner', 'undercoat SEAL'],
    ] as const) {
      const { of, failsOn } = await reviewed(book(), { [file]: replaced(book()[file]!, from, to) });
      expect(of('GUL-2').sentence, entry).toContain(`1 line that it hangs on (${entry}) cannot be read`);
      expect(await failsOn('broken')).toBe(true);
    }
  });

  it('that name the formula which is gone are said to hide it', async () => {
    const { of, review } = await reviewed(book(), { 'rest.pour': edited(['formula GUL-2', 'fromula GUL-2']) });
    expect(of('GUL-2').sentence).toMatch(
      /^Taken out of the book, or hidden by a line that cannot be read \(rest\.pour:\d+\)\.$/,
    );
    expect(review.unread).toMatchObject([{ entry: null }]);
  });

  it('that could not be read before are no news, moved, renamed or beside another edit', async () => {
    const odd = '\nfrmula X\n';
    const before = { ...book(), 'rest.pour': slips + odd };
    for (const after of [
      `# moved down\n${slips}${odd}`,
      `${slips.replaceAll('GUL-2', 'MEW-1')}${odd}`,
      slips.replace('Gull Grey', 'Gull') + odd,
    ]) {
      const { review, failsOn } = await reviewed(before, { 'rest.pour': after });
      expect(review.unread).toEqual([]);
      expect(review.formulas.filter(({ grade }) => grade === 'cannot be read')).toEqual([]);
      expect(await failsOn('broken')).toBe(false);
    }
  });

  it('of an open conflict, too: the formula seems to be as it was, and is not to be signed from', async () => {
    const open = '<<<<<<< ours\n  toner BLK-1 10\n=======\n  toner BLK-1 14\n>>>>>>> theirs\n  expect';
    const { of, failsOn } = await reviewed(book(), { 'rest.pour': edited(['  toner BLK-1 10\n  expect', open]) });
    expect(of('GUL-2').grade).toBe('cannot be read');
    expect(of('GUL-2').sentence).toContain('As far as it can be read: no change in colour');
    expect(await failsOn('broken')).toBe(true);
  });

  it('alone, without a change of any entry that can be read, are a change', async () => {
    const { review, written } = await reviewed(book(), { 'rest.pour': `${REST}\nfrmula X\n` });
    expect(review).toMatchObject({ formulas: [], entries: [], unread: [{ text: 'frmula X' }] });
    expect(await written('text')).not.toContain('nothing that the book says has changed');
  });
});

it('a card that is rewritten with its formula is called out: nobody sprayed it', async () => {
  const after = REST.replaceAll('toner BLK-1 10\n', 'toner BLK-1 12\n');
  const { of, out } = await reviewed(book(), { 'rest.pour': after });
  expect(of('GUL-2').sentence).toBe('No change in colour by card C-1, which says other parts than before.');
  expect(out('GUL-2')['card rewritten']).toContain('a card is a record of what was sprayed');
});

describe('an undercoat that is the same grey by name', () => {
  const N5 = '  grey N5 toner WHT-1 60 toner BLK-1 40\n';
  const before = { ...book(), 'rest.pour': edited(['  grey N2 toner', `${N5}  grey N2 toner`]) };
  const remixed = (to: string, more: readonly (readonly [string, string])[] = []) =>
    reviewed(before, {
      'rest.pour': more.reduce((text, [from, by]) => text.replaceAll(from, by), replaced(before['rest.pour'], N5, to)),
      'toners.pour': more.reduce((text, [from, by]) => text.replaceAll(from, by), book()['toners.pour']!),
    });

  it('and mixed otherwise is called out with both mixtures: that it is the same grey is only stated', async () => {
    const { of, out } = await remixed('  grey N5 toner WHT-1 55 toner BLK-1 45\n');
    expect(of('GUL-2').grade).toBe('no change in colour');
    expect(of('GUL-2').sentence).toBe(
      'No change in colour as long as SEAL grey N5 is the same grey: the same toners in the same ratios.',
    );
    expect(out('GUL-2')['undercoat mixed otherwise']).toBe(
      'Its undercoat SEAL grey N5 is mixed otherwise: WHT-1 60, BLK-1 40 before, WHT-1 55, BLK-1 45 now. That it is the same grey is stated, and no card shows it. How far the grey moves cannot be predicted. Card C-1 of the colour is over the earlier mixture.',
    );
    expect(of('GUL-2').undercoat.after!.parts).toBe('WHT-1 55, BLK-1 45');
  });

  it('is no cause where another grey of it is mixed otherwise', async () => {
    const { of } = await remixed(`${N5}  grey N3 toner WHT-1 20 toner BLK-1 80\n`, [
      ['standard DOOR', 'standard WING'],
    ]);
    expect(of('GUL-2').because).toEqual(['itself']);
  });

  it('in other amounts, or of a toner under another name, is the same undercoat', async () => {
    expect((await remixed('  grey N5 toner WHT-1 120 toner BLK-1 80\n')).review.formulas).toEqual([]);
    expect((await remixed(N5, [['BLK-1', 'INK-1']])).review.formulas).toEqual([]);
  });
});
