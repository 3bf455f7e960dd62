/** What is said of a line that does not fit: the place by its name, and an example that really fits. */
import { describe, expect, it } from 'vitest';
import { parseEntry } from '../../grammar/parse.ts';
import { headRows, rows } from '../../grammar/words.ts';

const findingsOf = (kind: string, line: string) =>
  parseEntry({ text: `${headRows.get(kind)!.example}\n  ${line}\n`, side: 'none' }).findings;

const said = (kind: string, line: string): string[] =>
  findingsOf(kind, line).map((one) => `${one.problem} ${one.remedy}`);

describe('messages', () => {
  it.each([
    ['formula', 'toner BLK-1', "After 'toner BLK-1' the parts are missing. Write for example: toner BLK-1 41.20"],
    ['formula', 'toner', "After 'toner' the toner is missing. Write for example: toner GRN-2 41.20"],
    [
      'formula',
      'undercoat SEAL',
      "After 'undercoat SEAL' the word grey is missing. Write for example: undercoat SEAL grey N5",
    ],
    [
      'formula',
      'finish metalic',
      "After 'finish' should stand 'solid', 'metallic' or 'pearl', not 'metalic'. Did you mean 'metallic'?",
    ],
    [
      'formula',
      'maker Marram Works',
      "'Works' is too much on this line: it is complete with 'maker Marram'. Put a name of several words in quotes.",
    ],
    [
      'reading',
      'lab 45as15 61.92 -18.40',
      "After 'lab 45as15 61.92 -18.40' b* is missing. Write for example: lab 45as15 61.92 -18.40 9.81",
    ],
    ['batch', 'poured GRN-2 33.2', 'The weight has no unit. Write the unit behind a blank: g, kg, mg or lb.'],
    [
      'formula',
      'note stir it',
      `After 'note' should stand the text in quotes, not 'stir'. Put it in quotes: note "stir it"`,
    ],
  ])('in a %s: %s', (kind, line, message) => {
    expect(said(kind, line)).toEqual([message]);
  });
});

describe('every row cut short', () => {
  it.each(rows.map((row) => [`${row.word} in ${row.in[0]}`, row] as const))('%s', (_name, row) => {
    const atoms = row.example.match(/"(?:[^"\\]|\\.)*"|[^ "]+/g)!;
    for (let length = 1; length < atoms.length; length++) {
      const line = atoms.slice(0, length).join(' ');
      const text = row.head ? line : `${headRows.get(row.in[0]!)!.example}\n  ${line}\n`;
      for (const finding of parseEntry({ text, side: 'none' }).findings) {
        const example = /for example: (.*)$/.exec(finding.remedy)?.[1];
        if (finding.code !== 'line-short') continue;
        expect(example).toBeDefined();
        const again = row.head ? example! : `${headRows.get(row.in[0]!)!.example}\n  ${example}\n`;
        expect(parseEntry({ text: again, side: 'none' }).findings, example).toEqual([]);
      }
    }
  });
});
