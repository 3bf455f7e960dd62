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

  it('names a finer scale that carries the batch, and a let-down', () => {
    const more =
      'scale FINE "f"\n  readability 0.01 g\nscale TINY "t"\n  readability 0.001 g\n  capacity 50 g\nletdown A-10 "a" of A\n  toner A 1\n  toner B 9\n';
    expect(small(`${more}formula F "f"\n  target weight 100 g\n${PARTS}`)[0]!.remedy).toBe(
      'Make at least 160.0 g, weigh it on FINE or pour A-10 instead.',
    );
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
});
