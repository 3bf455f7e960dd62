import { describe, expect, it } from 'vitest';
import { findingsFor, foundIn } from '../marked.ts';

const reading = (line: string) => `reading R "r"\n  ${line}\n`;
const HEAD = 'name,take,geometry,illuminant,observer,L,a,b\n';
const ONE = `${HEAD}door,1,45as15,D65,10,1,2,3\n`;
const TWO = `${ONE}roof,1,45as15,D65,10,1,2,3\n`;
const codes = ['file-place', 'file-missing', 'file-refused', 'file-sample'];

const found = (line: string, csv?: string) =>
  findingsFor({ 'a.pour': reading(line), ...(csv === undefined ? {} : { 'r.csv': csv }) }, ...codes);

describe('the file of a reading', () => {
  it('is there, beside the book', () => {
    expect(found('file "r.csv"', ONE)).toEqual([]);
    expect(found('file "r.csv"')).toEqual([{ code: 'file-missing', marked: '"r.csv"' }]);
    expect(found('file "../r.csv"').map((one) => one.code)).toEqual(['file-place']);
    expect(found('file "/r.csv"').map((one) => one.code)).toEqual(['file-place']);
  });

  it('can be read to its end', () => {
    const [refused] = foundIn({ 'a.pour': reading('file "r.csv"'), 'r.csv': `${HEAD}door,1,45as15,D65,10,1,x,3\n` });
    expect(refused).toMatchObject({ code: 'file-refused', severity: 'error' });
    expect(refused!.problem).toContain('line 2');
  });

  it('has the sample that is named', () => {
    expect(found('file "r.csv"', TWO)).toEqual([{ code: 'file-sample', marked: '"r.csv"' }]);
    expect(found('file "r.csv" sample "roof"', TWO)).toEqual([]);
    expect(found('file "r.csv" sample "rooof"', TWO)).toEqual([{ code: 'file-sample', marked: '"rooof"' }]);
  });

  it('may lie in a folder below, by its own name', () => {
    const files = { 'sub/a.pour': reading('file "day one/r.csv"'), 'sub/day%20one/r.csv': ONE };
    expect(findingsFor(files, ...codes)).toEqual([]);
  });
});
