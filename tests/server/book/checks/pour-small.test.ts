import { describe, expect, it } from 'vitest';
import { findingsFor, fixedBy, foundIn } from '../marked.ts';

const BOOK = 'book "b"\n  scale 0.1 g\n  weighing within 5 %\n';
// 1.25 of 100 parts; a step of 0.1 g is 5 % of 2.0 g, so the smallest batch is 2.0 / 0.0125 = 160 g.
const PARTS = '  toner A 1.25\n  toner B 98.75\n';

const small = (text: string) => foundIn(BOOK + text).filter((one) => one.code === 'pour-small');

describe('pour-small', () => {
  it('marks the line whose pour at the target weight is below the least, and says how much to make', () => {
    const [found] = small(`formula F "f"\n  target weight 100 g\n${PARTS}`);
    expect(found).toMatchObject({ marked: '1.25' });
    expect(found!.remedy).toBe('Make at least 160.0 g.');
  });

  it('is quiet from that weight on', () => {
    expect(small(`formula F "f"\n  target weight 160 g\n${PARTS}`)).toEqual([]);
    expect(small(`formula F "f"\n  target weight 159.9 g\n${PARTS}`)).toHaveLength(1);
  });

  it('names the finest scale that carries the cup, and a let-down of the book with what is then poured', () => {
    const more =
      'scale FINE "f"\n  readability 0.01 g\nscale TINY "t"\n  readability 0.001 g\n  capacity 50 g\nletdown A-10 "a" of A\n  toner A 1\n  toner B 9\n';
    const text = `${more}formula F "f"\n  target weight 100 g\n${PARTS}`;
    // 1.25 / 10 % = 12.5 parts bring 11.25 of B; 12.5 g can be weighed.
    expect(small(text)[0]!.remedy).toBe(
      'Make at least 160.0 g, weigh it on FINE, which shows 0.01 g or pour 12.5 parts of A-10 for A, with B at 87.5.',
    );
    expect(small(text.replace('100 g', '40 g'))[0]!.remedy).toContain('weigh it on TINY');
    expect(small(text.replace('0.01 g', '0.09 g'))[0]!.remedy).not.toContain('FINE');
    const off = text.replace(
      '0.01 g\n',
      '0.01 g\n  tested 2026-10-01 100 g reads 100.00 g\n  tested 2026-11-01 100 g reads 100.03 g\n',
    );
    expect(small(off)[0]!.remedy).not.toContain('FINE');
    expect(fixedBy(BOOK + text, 'pour-small', 1)).toContain('  toner A-10 12.5\n  toner B 87.5\n');
    expect(small(fixedBy(BOOK + text, 'pour-small', 1).slice(BOOK.length))).toEqual([]);
  });

  it('does not take a let-down that is too strong, of something else, or more binder than there is', () => {
    const letdown = (...lines: string[]) =>
      `letdown A-X "a" of A\n${lines.map((line) => `  toner ${line}\n`).join('')}formula F "f"\n  target weight 100 g\n`;
    const remedy = (text: string) => small(text)[0]!.remedy;
    expect(remedy(letdown('A 9', 'B 1') + PARTS)).not.toContain('A-X');
    expect(remedy(letdown('A 1', 'C 9') + PARTS)).not.toContain('A-X');
    expect(remedy(letdown('A 1', 'B 8', 'C 1') + PARTS)).not.toContain('A-X');
    expect(remedy(`${letdown('A 1', 'B 9')}  toner A 1.25\n  toner B 5\n  toner C 93.75\n`)).not.toContain('A-X');
  });

  it('is told to a variant at its own lines, or at a target weight of its own', () => {
    const parent = `formula F "f"\n  target weight 160 g\n${PARTS}`;
    expect(small(`${parent}variant F/d "d"\n  toner A -0.25\n`).map((one) => one.marked)).toEqual(['-0.25']);
    expect(small(`${parent}variant F/d "d"\n  target weight 100 g\n`).map((one) => one.marked)).toEqual(['100 g']);
    expect(small(`${parent}variant F/d "d"\n  toner B +1\n`).map((one) => one.marked)).toEqual(['F/d']);
    const tooSmall = parent.replace('160 g', '150 g');
    expect(small(`${tooSmall}variant F/d "d"\n  toner B +1\n`).map((one) => one.marked)).toEqual(['1.25']);
  });

  it('is told to a batch before it is poured, for the scale that it names', () => {
    const parent = `formula F "f"\n  target weight 160 g\n${PARTS}scale FINE "f"\n  readability 0.01 g\n`;
    expect(small(`${parent}batch B of F\n  make 80 g\n`).map((one) => one.marked)).toEqual(['80 g']);
    expect(small(`${parent}batch B of F\n  make 80 g\n  poured A 1 g\n`)).toEqual([]);
    expect(small(`${parent}batch B of F\n  make 80 g\n  scale FINE\n`)).toEqual([]);
  });

  it('says nothing where no target is a weight', () => {
    expect(findingsFor(`${BOOK}formula F "f"\n  target volume 1 l\n${PARTS}`, 'pour-small')).toEqual([]);
  });

  it('lets the toner down as an entry of its own, and takes the binder that it brings from its line', () => {
    // 1.25 parts at 100 g are 1.25 g, 62.5 % of the least pour of 2.0 g: half strength brings 2.50 parts, 1.25 of them binder.
    const text = `${BOOK}toner A "Black"\n  system WB\ntoner B "Binder"\n  kind binder\nsystem WB "w"\nformula F "f"\n  target weight 100 g\n${PARTS}`;
    const [larger, fixed] = [fixedBy(text, 'pour-small', 0), fixedBy(text, 'pour-small', 1)];
    expect(larger).toContain('target weight 160.0 g');
    expect(fixed).toContain(
      '  toner A-50 2.5\n  toner B 97.5\n\nletdown A-50 "Black, 50 per cent" of A\n  system WB\n  toner A 50\n  toner B 50\n',
    );
    expect(small(fixed.slice(BOOK.length))).toEqual([]);
  });

  it('weighs a batch on the finer scale by a fix', () => {
    const text = `${BOOK}formula F "f"\n  target weight 160 g\n${PARTS}scale FINE "f"\n  readability 0.01 g\nscale OLD "o"\n  readability 0.1 g\nbatch B of F\n  make 80 g\n`;
    expect(fixedBy(text, 'pour-small', 1)).toContain('batch B of F\n  make 80 g\n  scale FINE\n');
    expect(fixedBy(`${text}  scale OLD\n`, 'pour-small', 1)).toContain('batch B of F\n  make 80 g\n  scale FINE\n');
    expect(small(fixedBy(text, 'pour-small', 1).slice(BOOK.length))).toEqual([]);
  });

  it('lets the toner of a variant down by plus and minus lines, and the paint stays the same', () => {
    const parent = `toner A "Black"\ntoner B "Binder"\n  kind binder\nformula F "f"\n  target weight 160 g\n${PARTS}`;
    // A 1.00 of 99.75 parts is 1.604 g at 160 g: half strength, 2 parts of it, B 97.75.
    const own = fixedBy(`${BOOK}${parent}variant F/d "d"\n  toner A -0.25   # lighter\n`, 'pour-small', 0);
    expect(own).toContain(
      'variant F/d "d"\n  without A   # lighter\n  toner B = 97.75\n  toner A-50 = 2\n\nletdown A-50 "Black, 50 per cent" of A\n  toner A 50\n  toner B 50\n',
    );
    expect(small(own.slice(BOOK.length))).toEqual([]);
    const inherited = fixedBy(
      `${BOOK}${parent}variant F/d "d"\n  target weight 100 g\n  toner B +2.5\n`,
      'pour-small',
      1,
    );
    expect(inherited).toContain('  toner B = 100\n  without A\n  toner A-50 = 2.5\n');
    expect(foundIn(inherited).filter((one) => one.severity === 'error')).toEqual([]);
  });

  it('keeps quotes in the name of what is let down', () => {
    const text = `${BOOK}toner A "Black \\"deep\\""\ntoner B "Binder"\n  kind binder\nformula F "f"\n  target weight 100 g\n${PARTS}`;
    const fixed = fixedBy(text, 'pour-small', 1);
    expect(fixed).toContain('letdown A-50 "Black \\"deep\\", 50 per cent" of A');
    expect(foundIn(fixed).filter((one) => one.severity === 'error')).toEqual([]);
  });
});
