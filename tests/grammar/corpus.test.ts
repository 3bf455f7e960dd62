/** Each file of the corpus against its baseline. `UPDATE=1` writes the baselines anew; read the difference before committing it. */
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { rows } from '../../grammar/words.ts';
import { corpus, described, entriesOf, folder } from './corpus.ts';

describe('the corpus', () => {
  it.each(corpus)('$name', ({ name, text }) => {
    const baseline = new URL(`${name}.expected`, folder);
    const found = described(text);
    if (process.env.UPDATE === '1') writeFileSync(baseline, found);
    expect(existsSync(baseline), 'run once with UPDATE=1').toBe(true);
    expect(found).toBe(readFileSync(baseline, 'utf8'));
  });

  it('has 80 files or more, a third of them with CRLF', () => {
    expect(corpus.length).toBeGreaterThanOrEqual(80);
    expect(corpus.filter(({ text }) => text.includes('\r\n')).length).toBeGreaterThanOrEqual(corpus.length / 3 - 1);
    expect(corpus.some(({ text }) => text.startsWith('\ufeff'))).toBe(true);
  });

  it('says every word of the table at least once, read to its end', () => {
    const said = new Set(
      corpus.flatMap(({ text }) =>
        entriesOf(text).flatMap(({ entry }) =>
          [entry.head, ...entry.lines].filter((line) => line?.whole).map((line) => line!.row),
        ),
      ),
    );
    expect(rows.filter((row) => !said.has(row)).map((row) => `${row.word} in ${row.in[0]}`)).toEqual([]);
  });

  it('is cut without losing a character', () => {
    for (const { text } of corpus)
      expect(
        entriesOf(text)
          .map((one) => one.text)
          .join(''),
      ).toBe(text);
  });
});
