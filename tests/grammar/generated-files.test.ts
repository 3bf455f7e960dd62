/** The files made from the table are up to date, and what they hold is true of the parser. */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { generated } from '../../.scripts/generated.ts';
import { cut } from '../../grammar/cutter.ts';
import { parseEntry } from '../../grammar/parse.ts';
import { languageReference } from '../../grammar/reference.ts';
import { snippets } from '../../grammar/snippets.ts';
import { languageConfiguration } from '../../grammar/textmate.ts';
import { type EntryKind, headRows, rows, rowsIn } from '../../grammar/words.ts';

const errorsOf = (text: string): string[] =>
  cut(text).slices.flatMap((slice) =>
    parseEntry(slice)
      .findings.filter((finding) => finding.severity === 'error')
      .map((finding) => `${finding.code}: ${finding.problem} (${slice.text.slice(finding.from, finding.to)})`),
  );

/** Biome pads the columns of Markdown tables. */
const unpadded = (text: string): string => text.replace(/ +\|/g, ' |').replace(/-{3,}/g, '---');

describe.each(generated())('$path', ({ path, text }) => {
  it('is up to date (npx tsx .scripts/grammar.ts, then biome check --write)', () => {
    const written = readFileSync(new URL(`../../${path}`, import.meta.url), 'utf8');
    if (path.endsWith('.json')) expect(JSON.parse(written)).toEqual(JSON.parse(text));
    else expect(unpadded(written)).toBe(unpadded(text));
  });
});

describe('examples of the table', () => {
  it.each(rows.flatMap((row) => row.in.map((kind) => ({ kind, word: row.word, row }))))(
    '$word in $kind',
    ({ kind, row }) => {
      const head = headRows.get(kind)!.example;
      const text = row.head ? `${row.example}\n` : `${head}\n  ${row.example}\n`;
      expect(errorsOf(text)).toEqual([]);
      const entry = parseEntry({ text, side: 'none' });
      expect(entry.findings).toEqual([]);
      expect((row.head ? entry.head : entry.lines[0])?.row).toBe(row);
    },
  );
});

describe('the language reference', () => {
  const blocks = [...languageReference().matchAll(/```pour\n([^`]*)```/g)].map((match) => match[1]!);

  it('has an example of every entry, and all of it is read', () => {
    expect(blocks.length).toBe(headRows.size);
    for (const block of blocks) expect(errorsOf(block)).toEqual([]);
  });

  it('names every word', () => {
    for (const row of rows) expect(languageReference()).toContain(row.help.split('|')[0]!);
  });
});

/** A snippet as it stands after it was put in: every place with its default, every choice with its first word. */
const filled = (body: readonly string[]): string =>
  body
    .join('\n')
    .replace(/\$\{\d+\|((?:[^|\\]|\\.)*)\|\}/g, (_, words: string) => words.split(/(?<!\\),/)[0]!)
    .replace(/\$\{\d+:((?:[^}\\]|\\.)*)\}/g, '$1')
    .replaceAll('$0', '')
    .replace(/\\([\\$}])/g, '$1');

describe('snippets', () => {
  const all = snippets();

  it.each(Object.entries(all))('%s', (name, snippet) => {
    if (headRows.has(snippet.prefix) && name.endsWith(' entry')) {
      expect(errorsOf(filled(snippet.body))).toEqual([]);
      return;
    }
    const kinds = [...headRows.keys()].filter((kind) => rowsIn(kind as EntryKind).has(snippet.prefix)) as EntryKind[];
    const fits = kinds.filter(
      (kind) => errorsOf(`${headRows.get(kind)!.example}\n  ${filled(snippet.body)}\n`).length === 0,
    );
    expect(fits.length).toBeGreaterThan(0);
  });

  it('there is one for each head and each word', () => {
    const prefixes = new Set(Object.values(all).map((snippet) => snippet.prefix));
    expect(rows.filter((row) => !prefixes.has(row.word))).toEqual([]);
  });
});

describe('the language configuration', () => {
  const configuration = languageConfiguration() as { wordPattern: string };
  const word = new RegExp(configuration.wordPattern, 'g');

  it.each(['GRN-2', 'SAM-31/dark', '41.20', '45as-15', 'D65/10', '2026-10-14-A', '漆-7', '<='])(
    '%s is one word',
    (atom) => {
      expect(`  toner ${atom} "a"`.match(word)).toContain(atom);
    },
  );
});
