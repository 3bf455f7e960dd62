import { describe, expect, it } from 'vitest';
import { findingsFor, fixedBy, foundIn } from '../marked.ts';

const BOOK = 'book "b"\n  takes 3 within 0.5 dE00\n';
const reading = (...lines: string[]) => `${BOOK}reading R "r"\n${lines.map((line) => `  ${line}\n`).join('')}`;
const take = (number: number, L: number, geometry = '45as15') =>
  `lab ${geometry} take ${number} ${L.toFixed(2)} -18.40 9.81`;

describe('takes-few', () => {
  it('says how many there are at which angles', () => {
    const [found] = foundIn(reading(take(1, 60), take(2, 60), take(1, 40, '45as45'))).filter(
      (one) => one.code === 'takes-few',
    );
    expect(found!.marked).toBe('R');
    expect(found!.problem).toBe('45as45 has one take; 45as15 has 2 takes; there should be 3.');
  });

  it('writes a geometry that begins the sentence as the book does', () => {
    const [found] = foundIn(reading(take(1, 60, 'd/8'))).filter((one) => one.code === 'takes-few');
    expect(found!.problem).toBe('d/8 has one take; there should be 3.');
  });

  it('does not count takes that are left out', () => {
    const three = [take(1, 60), take(2, 60), take(3, 60)];
    expect(findingsFor(reading(...three), 'takes-few')).toEqual([]);
    expect(findingsFor(reading(...three, 'without take 2 "finger"'), 'takes-few')).toHaveLength(1);
    expect(findingsFor(reading(...three, 'without take 2 at 45as45 "finger"'), 'takes-few')).toEqual([]);
  });

  it('counts the takes of a file, and says nothing of a reading without values', () => {
    const csv =
      'name,take,geometry,illuminant,observer,L,a,b\nR,1,45as15,D65,10,1,2,3\nR,2,45as15,D65,10,1,2,3\nR,3,45as15,D65,10,1,2,3\n';
    expect(
      findingsFor({ 'a.pour': reading('file "r.csv"'), 'r.csv': csv }, 'takes-few', 'file-missing', 'file-refused'),
    ).toEqual([]);
    expect(findingsFor(reading('note "not yet"'), 'takes-few')).toEqual([]);
  });
});

describe('a card', () => {
  const card = (line: string) => `${BOOK}drawdown D "d"\n  toner A 1\n  ${line}\n`;

  it('may have the one value that the instrument gave as its mean', () => {
    expect(findingsFor(card('lab 45as15 60 1 2'), 'takes-few')).toEqual([]);
    expect(findingsFor(card('lab 45as15 take 1 60 1 2'), 'takes-few')).toHaveLength(1);
    expect(findingsFor(reading('lab 45as15 60 1 2'), 'takes-few')).toHaveLength(1);
  });
});

describe('takes-wide', () => {
  it('marks the angle whose takes lie further from their mean than the book accepts', () => {
    const text = reading(
      take(1, 60),
      take(2, 61),
      take(3, 62),
      take(1, 40, '45as45'),
      take(2, 40.1, '45as45'),
      take(3, 40.2, '45as45'),
    );
    expect(findingsFor(text, 'takes-wide')).toEqual([{ code: 'takes-wide', marked: '1' }]);
    expect(foundIn(text).find((one) => one.code === 'takes-wide')!.problem).toContain('At 45as15');
  });

  it('follows the setting of the book', () => {
    const text = reading(take(1, 60), take(2, 61), take(3, 62)).replace('0.5 dE00', '2 dE00');
    expect(findingsFor(text, 'takes-wide')).toEqual([]);
  });
});

describe('take-out', () => {
  const text = reading(take(1, 60), take(2, 60.05), take(3, 64), take(4, 59.95), take(5, 60.02));

  it('marks the take that lies apart, in place of the spread', () => {
    expect(findingsFor(text, 'take-out', 'takes-wide')).toEqual([{ code: 'take-out', marked: '3' }]);
  });

  it('leaves it out by a line of its own, after which nothing is left to say', () => {
    const fixed = fixedBy(text, 'take-out');
    expect(fixed).toContain('64.00 -18.40 9.81\n  without take 3 at 45as15 "lies apart from the others"\n');
    expect(findingsFor(fixed)).toEqual([]);
  });

  it('keeps the line ends of the file', () => {
    expect(fixedBy(text.replaceAll('\n', '\r\n'), 'take-out')).toContain('9.81\r\n  without take 3');
  });
});
