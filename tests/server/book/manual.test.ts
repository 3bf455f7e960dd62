import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { cut } from '../../../grammar/cutter.ts';
import { parseEntry } from '../../../grammar/parse.ts';
import { checks } from '../../../server/book/checks/index.ts';
import { manual, pages } from '../../../server/book/manual.ts';
import { syntaxPages } from '../../../server/book/syntax-pages.ts';

const read = (path: string): string => readFileSync(new URL(`../../../${path}`, import.meta.url), 'utf8');

describe('the manual', () => {
  it('is written to its file (npx tsx .scripts/manual.ts)', () => {
    expect(read('server/book/manual.md')).toBe(manual());
  });

  it('has one page for a code, in kebab case', () => {
    const codes = [...syntaxPages, ...checks.flatMap((check) => check.pages)].map((page) => page.code);
    expect(codes).toEqual([...new Set(codes)]);
    for (const code of codes) expect(code).toMatch(/^[a-z]+(-[a-z]+)*$/);
  });

  it('has a page for every finding of the grammar corpus', () => {
    const corpus = readdirSync(new URL('../../../tests/grammar/corpus', import.meta.url)).filter((name) =>
      name.endsWith('.pour'),
    );
    const codes = corpus
      .flatMap((name) => cut(read(`tests/grammar/corpus/${name}`)).slices)
      .flatMap((slice) => parseEntry(slice).findings.map((finding) => finding.code));
    expect(codes.length).toBeGreaterThan(50);
    expect([...new Set(codes)].filter((code) => !pages.has(code))).toEqual([]);
  });

  it('tells of each check what to do, in whole sentences', () => {
    for (const { title, text } of pages.values()) {
      expect(title).not.toMatch(/\.$/);
      expect(text).toMatch(/\.$|\.\)$/);
      expect(text.length).toBeGreaterThan(40);
    }
  });
});
