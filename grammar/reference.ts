/** The reference of the language as Markdown, written from the table of words: what stands in an entry, and what each word says. */
import { DIMENSIONS, unitsOf } from '../server/exact/units.ts';
import { signature } from './place.ts';
import { formattedExample } from './printer.ts';
import { article } from './sample.ts';
import { type EntryKind, headRows, type Row, rowsIn } from './words.ts';

export function languageReference(): string {
  const sections = [...headRows.values()].map((row) => entrySection(row.in[0]!, row));
  return [
    INTRODUCTION,
    '## Entries\n',
    [...headRows.values()].map((row) => `- [${row.word}](#${row.word}): ${row.help}`).join('\n'),
    '',
    ...sections,
    shapes(),
    unitSection(),
  ].join('\n');
}

const INTRODUCTION = `<!-- Written from grammar/words.ts by .scripts/grammar.ts; edit the table, not this file. -->
# The language of a Pourbook book

A book is plain text in files that end in \`.pour\`. A word at the margin begins an **entry**; the lines below it that are indented
belong to it. Every line begins with the word that says what it is, and the word says what stands in each place after it. At the
margin a word defines, indented it uses: \`toner BLK-1 "Carbon black"\` at the margin is a toner on the shelf, \`toner BLK-1 1.25\`
inside a formula takes some of it.

- Atoms stand apart by blanks; blanks and tabs are equal. \`pourbook format\` sets the columns and changes nothing else.
- A \`#\` at the start of a line or behind a blank begins a comment.
- A text stands in double quotes on one line; inside it \`\\"\` is a quote and \`\\\\\` a stroke.
- An id has letters, digits, \`_\`, \`.\` and \`-\`, begins with a letter or a digit, and is no decimal number. Case counts. A variant's
  id is a path: its parent's id, a \`/\`, and its own name.
- A number is written \`41.20\`: digits, and a point with digits on both sides. A quantity is a number, a blank and a unit.
- Only a list of numbers may go on over further lines, which then begin with a number.

In the tables below \`‹…›\` is a value to fill in, \`[…]\` may be left out, \`( … | … )\` is one of several, and \`…\` behind something means
that it may be repeated.
`;

function entrySection(kind: EntryKind, head: Row): string {
  const body = [...rowsIn(kind).values()];
  const lines = body.map((row) => wordSection(row, kind));
  return [
    `## ${kind}\n`,
    `${head.help}\n`,
    `    ${head.word} ${signature(head.places)}\n`,
    '```pour',
    head.example,
    ...body.map((row) => `  ${formattedExample(row)}`),
    '```\n',
    `| In ${article(kind)} | Says | How often |`,
    '| --- | --- | --- |',
    ...lines,
    '',
  ].join('\n');
}

function wordSection(row: Row, kind: EntryKind): string {
  const often =
    row.repeat === 'once'
      ? 'once'
      : row.repeat === 'free'
        ? 'as often as wanted'
        : `once for each ${row.key.join(', ')}`;
  const inherits = row.inherit && (kind === 'variant' || kind === 'formula');
  const help = row.help + (inherits ? ' A variant has it from its parent unless it says its own.' : '');
  return `| ${code(`${row.word} ${signature(row.places)}`)} | ${cell(help)} | ${often} |`;
}

const cell = (text: string): string => text.replaceAll('|', '\\|');
const code = (text: string): string => `\`${cell(text)}\``;

const shapes = (): string =>
  [
    '## What a value looks like\n',
    '| Value | Written | |',
    '| --- | --- | --- |',
    '| date | `2026-10-14`, `2026-10-14T09:20`, `2026-10-14T09:20Z` | a time without a zone is meant in that of the book |',
    '| geometry | `45as15`, `45as-15`, `45/0`, `d/8` | illumination and aspecular angle; or illumination and viewing, `d` for diffuse |',
    '| illuminant and observer | `D65/10`, `A/2` | the observer of 2 or of 10 degrees |',
    '| range | `400..700/10`, `2019..2023`, `2021..` | first, last, and the step of wavelengths in nanometres |',
    '| grey | `N5`, `N6.5`, `L* 51` | Munsell neutral value, halves allowed, or the lightness |',
    '| change in parts | `+0.40`, `-1.10`, `+5 %`, `= 1.65` | in the parts of the parent; `%` of its share; or other parts altogether |',
    '| comparison | `<=` `>=` `<` `>` `=` | in expectations |',
    '',
  ].join('\n');

const unitSection = (): string =>
  [
    '## Units\n',
    'Units are case-sensitive, but for `l` and `L`. Ounces, pints, quarts and gallons say which: `oz-av`, `floz-US`, `gal-imp`.\n',
    '| Dimension | Units |',
    '| --- | --- |',
    ...DIMENSIONS.map(
      (dimension) =>
        `| ${dimension} | ${unitsOf(dimension)
          .map((unit) => `\`${unit.symbol}\``)
          .join(' ')} |`,
    ),
    '| price | any three letters of a currency and what it is paid for: `EUR/l`, `USD/gal-US`, `EUR/kg` |',
    '',
  ].join('\n');
