import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { Book } from '../../../server/book/book.ts';
import { decodeBook } from '../../../server/book/decode.ts';
import { findingsOfFile } from '../../../server/book/findings.ts';
import { pages } from '../../../server/book/manual.ts';

const ROOT = new URL('../../../tests/broken/', import.meta.url);

const books = readdirSync(ROOT, { withFileTypes: true })
  .filter((one) => one.isDirectory())
  .map((one) => one.name);

function open(name: string): Book {
  const book = new Book();
  for (const file of readdirSync(new URL(`${name}/`, ROOT))) {
    const bytes = readFileSync(new URL(`${name}/${file}`, ROOT));
    if (file.endsWith('.pour')) book.setFile(`file:///book/${file}`, decodeBook(bytes));
    else book.setImportedFile(`file:///book/${file}`, bytes);
  }
  book.loaded.set(true);
  return book;
}

/** What the comments of a file announce: codes by line, from 0. */
function announced(text: string): Map<number, string[]> {
  const found = new Map<number, string[]>();
  for (const [line, content] of text.split('\n').entries()) {
    const here = /# <- ([a-z -]+)$/.exec(content.trimEnd())?.[1];
    const below = /^# v ([a-z -]+)$/.exec(content.trimEnd())?.[1];
    const codes = (here ?? below)?.trim().split(/ +/);
    if (codes) found.set(below ? line + 1 : line, codes.sort());
  }
  return found;
}

function told(book: Book, uri: string): Map<number, string[]> {
  const found = new Map<number, string[]>();
  for (const { line, code } of findingsOfFile(book, uri)) found.set(line, [...(found.get(line) ?? []), code].sort());
  return found;
}

const byLine = (codes: Map<number, string[]>, text: string) =>
  [...codes]
    .sort(([a], [b]) => a - b)
    .map(([line, list]) => `${line + 1} ${text.split('\n')[line]} => ${list.join(' ')}`);

describe.each(books)('the broken book %s', (name) => {
  const book = open(name);

  it.each([...book.files.keys()])('%s has the findings that its lines announce, and no other', (uri) => {
    const { text } = book.files.get(uri)!;
    expect(byLine(told(book, uri), text)).toEqual(byLine(announced(text), text));
  });
});

describe('all broken books', () => {
  const findings = books
    .map(open)
    .flatMap((book) => [...book.files.keys()].flatMap((uri) => findingsOfFile(book, uri)));

  it('show every finding that has a page in the manual', () => {
    const shown = new Set(findings.map((one) => one.code));
    // Needs toners learned from cards, which takes a whole book: tests/server/book/optics/films.test.ts shows it.
    const learned = ['undercoat-costly'];
    expect([...pages.keys()].filter((code) => !shown.has(code))).toEqual(learned);
    expect([...shown].filter((code) => !pages.has(code))).toEqual([]);
  });

  it('say what is wrong and what to write, each in whole sentences', () => {
    for (const { problem, remedy } of findings) {
      expect(problem).toMatch(/^[^a-z].*[.?]$/s);
      expect(remedy).not.toBe('');
      expect(`${problem} ${remedy}`).not.toMatch(/undefined|NaN|\[object/);
    }
  });
});
