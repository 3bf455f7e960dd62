import { expect, it } from 'vitest';
import { match } from '../../../server/answers/match.ts';
import { subject } from '../../../server/answers/subject.ts';
import { matchText } from '../../../server/report/text/match.ts';
import { bookOf } from '../book/marked.ts';
import { entry, reading, SHOP } from './entry.ts';

const card = (id: string, L: number, ...lines: string[]) =>
  entry(`formula ${id} "${id}"`, 'toner A 1') +
  entry(`sprayout ${id}-card of ${id}`, 'toner A 1', ...lines, `lab 45as15 ${L} 0 0`);

function matched(text: string) {
  const book = bookOf(SHOP + text);
  return match(book, subject(book, 'R'));
}

it('says beside a candidate what was not read alike', () => {
  const answer = matched(
    reading('R', 'taken 2026-10-10 with I', 'surface cleared polished 20 C', 'lab 45as15 50 0 0') +
      card('LIKE', 50.2, 'measured 2020-10-01 with I', 'surface cleared polished 20 C') +
      card('DRY', 50.4, 'measured 2026-10-01 with I', 'surface uncleared') +
      card('OTHER', 50.6, 'measured 2026-10-01 with J', 'surface cleared polished 32 C'),
  );
  expect(answer.candidates.map(({ formula, notes }) => [formula, notes])).toEqual([
    ['LIKE', []],
    ['DRY', ['one surface is cleared, the other is not']],
    [
      'OTHER',
      ['read with two instruments, I and J', 'panels of 20 C and 32 C: more than 5 C apart, let the warm one cool'],
    ],
  ]);
  const text = matchText(answer);
  expect(text).toContain('   not read alike: one surface is cleared, the other is not');
  expect(text.indexOf('LIKE')).toBeLessThan(text.indexOf('not read alike'));
  expect(text).toContain('Flake appearance not compared.');
});

it('compares the look of flakes within one instrument', () => {
  const answer = matched(
    reading('R', 'taken 2026-10-10 with I', 'lab 45as15 50 0 0', 'graininess 3.0') +
      card('F', 50.2, 'measured 2026-10-01 with I', 'graininess 3.4'),
  );
  expect(answer.candidates[0]!.flakes).toMatchObject({ compared: true, graininess: 0.4 });
  expect(matchText(answer)).toContain('flakes: grain 0.4 coarser');
});

it('keeps the names of its JSON', () => {
  const [candidate] = matched(reading('R', 'lab 45as15 50 0 0') + card('F', 50.2)).candidates;
  expect(Object.keys(candidate!).sort()).toEqual(
    ['basis by dE00 differs flakes formula missingAngles name notes perAngle status undercoat worst']
      .join(' ')
      .split(' '),
  );
});
