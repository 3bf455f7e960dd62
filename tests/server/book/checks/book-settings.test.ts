import { describe, expect, it } from 'vitest';
import { findingsFor, fixedBy, foundIn } from '../marked.ts';

describe('the book entry', () => {
  it('is written in a language that is read here', () => {
    expect(findingsFor('book "b"\n  language 1\n', 'language-newer')).toEqual([]);
    expect(findingsFor('book "b"\n  language 2\n', 'language-newer')).toEqual([
      { code: 'language-newer', marked: '2' },
    ]);
  });

  it('names a known time zone', () => {
    expect(findingsFor('book "b"\n  timezone Europe/Dublin\n', 'timezone-unknown')).toEqual([]);
    expect(findingsFor('book "b"\n  timezone UTC\n', 'timezone-unknown')).toEqual([]);
    expect(fixedBy('book "b"\n  timezone Europe/Dublinn\n', 'timezone-unknown')).toContain('timezone Europe/Dublin\n');
  });

  it('names a known regulation and one of its categories', () => {
    expect(findingsFor('book "b"\n  voc eu-2004-42 topcoat\n', 'voc-unknown')).toEqual([]);
    expect(findingsFor('book "b"\n  voc eu-2004 topcoat\n', 'voc-unknown')).toEqual([
      { code: 'voc-unknown', marked: 'eu-2004' },
    ]);
    expect(fixedBy('book "b"\n  voc eu-2004-42 topcoats\n', 'voc-unknown')).toBe(
      'book "b"\n  voc eu-2004-42 topcoat\n',
    );
  });

  it('stands once', () => {
    const files = { 'b.pour': 'book "second"\n', 'a.pour': 'book "first"\n' };
    const found = foundIn(files).filter((one) => one.code === 'book-twice');
    expect(found.map((one) => one.cell.file.uri)).toEqual(['file:///book/b.pour']);
    expect(found[0]!.problem).toContain('in a.pour');
  });
});

it('a category of the undercoat is one of the regulation, or a limit of the book', () => {
  const found = (...lines: string[]) =>
    foundIn(`book "b"\n${lines.map((line) => `  ${line}\n`).join('')}`)
      .filter((one) => one.code === 'voc-unknown')
      .map(({ marked, problem }) => [marked, problem]);
  expect(found('voc eu-2004-42 topcoat undercoat special')).toEqual([]);
  expect(found('voc eu-2004-42 topcoat undercoat sealer')).toEqual([
    ['sealer', "The regulation eu-2004-42 has no category 'sealer'."],
  ]);
  const own = 'limit harbour colour 340 g/l less-water on 2026-11-20';
  expect(found('voc harbour colour', own)).toEqual([]);
  expect(found('voc harbour colour undercoat grey', own)).toEqual([
    ['grey', "The book has no limit of 'harbour' for 'grey'."],
  ]);
});
