/** Pages of the manual for the findings of the grammar: slips of writing that are found without knowing anything of paint. */
import type { Page } from './checks/check.ts';

export const syntaxPages: readonly Page[] = [
  {
    code: 'word-unknown',
    title: 'A line begins with a word that is not known there',
    text: 'Every line begins with the word that says what it is, and each kind of entry has words of its own. The nearest word is offered. Correct it, move the line to the entry that it belongs to, or make it a comment with `#`.',
  },
  {
    code: 'word-missing',
    title: 'A line begins without a word',
    text: 'A line has to say what it holds before it says how much. Only a list of numbers (a spectrum) goes on over lines that begin with a number, directly below the line that it belongs to.',
  },
  {
    code: 'line-start',
    title: 'A line that cannot begin like this',
    text: 'At the margin stands a letter (a new entry), a blank (a line of the entry above) or `#` (a comment). Anything else is kept with the entry above, unread.',
  },
  {
    code: 'head-missing',
    title: 'Lines that belong to no entry',
    text: 'Indented lines belong to the entry whose word stands at the margin above them. Above these there is none. Begin an entry, or take the lines out.',
  },
  {
    code: 'indent-lost',
    title: 'A line has lost its indent',
    text: 'A word of the body stands at the margin, where only entries begin. It is read as a line of the entry above. The fix indents it by two blanks.',
  },
  {
    code: 'line-short',
    title: 'Something is missing at the end of a line',
    text: 'The line ends before all its places are filled. The message shows the places of the word and an example.',
  },
  {
    code: 'line-long',
    title: 'Something too much on a line',
    text: 'All places of the word are filled and more follows. Put `#` before it if it is a comment, or a line end if it is another line.',
  },
  {
    code: 'place-wrong',
    title: 'Something does not fit where it stands',
    text: 'The word says what each place of its line holds, and this is something else. The message shows the places of the word and an example.',
  },
  {
    code: 'line-twice',
    title: 'A line stands twice',
    text: 'Some words may stand once in an entry, others once for each toner, angle or take. The first line counts. Of two lines for one toner add the parts up; of two takes number the second one anew.',
  },
  {
    code: 'conflict',
    title: 'A merge conflict is open',
    text: 'Markers of a git merge stand in the file. Until they are gone the entry is read on our side (above `=======`) and the file is not formatted. Take ours or theirs by the fixes, or write by hand what was meant.',
  },
  {
    code: 'odd-blank',
    title: 'A blank that is none',
    text: 'Only the space and the tab are blanks, and only LF or CRLF ends a line. No-break spaces, typeset spaces, zero-width characters and old line ends look like blanks and are none; they often come with text copied from a web page or a data sheet. The fix writes a plain space.',
  },
  {
    code: 'text-open',
    title: 'A text without its closing quote',
    text: 'A text stands in double quotes on one line. Close it; a quote inside a text is written `\\"`.',
  },
  {
    code: 'text-escape',
    title: 'A stroke without a meaning in a text',
    text: 'Inside a text a backstroke stands only before a quote (`\\"`) or another backstroke (`\\\\`).',
  },
  {
    code: 'text-glued',
    title: 'No blank beside a text',
    text: 'A text in quotes ends where its closing quote stands; what follows needs a blank before it.',
  },
  {
    code: 'number-comma',
    title: 'A decimal comma',
    text: 'Numbers have a decimal point, whatever the country: 41.20. The number is read as it is meant; the fix writes the point.',
  },
  {
    code: 'number-point',
    title: 'A decimal point without digits on both sides',
    text: 'Write 0.5 for .5 and 5 for 5. so that nobody overlooks the point.',
  },
  {
    code: 'number-power',
    title: 'A number with a power of ten',
    text: 'Numbers are written out in full, so that a glance shows their size: 1000, not 1e3.',
  },
  {
    code: 'number-minus',
    title: 'A typeset minus',
    text: 'The minus of a book is the hyphen of the keyboard. The typeset one (U+2212) looks alike and comes with copied text; the fix writes the plain one.',
  },
  {
    code: 'number-spaced',
    title: 'A blank inside a number',
    text: 'Thousands are not parted: 1000, not 1 000. A blank would part two numbers.',
  },
  {
    code: 'number-whole',
    title: 'A number that has to be whole',
    text: 'Takes, coats and versions are counted: 1, 2, 3.',
  },
  {
    code: 'number-signed',
    title: 'A sign where none has a meaning',
    text: 'Parts, weights and the like are never below zero, and a plus adds nothing to them. Only the lines of a variant, Lab values and temperatures carry signs.',
  },
  {
    code: 'delta-bare',
    title: 'More, less, or exactly that much?',
    text: 'A toner line of a variant has a sign (more or less than the parent has, in the parent’s parts) or `=` (so many parts instead). A bare number could be either; the fixes offer all three.',
  },
  {
    code: 'unit-missing',
    title: 'A quantity without its unit',
    text: 'Weights, times, densities and prices have a unit behind a blank: 250 g. Only parts, Lab values, spectra and constants are plain numbers.',
  },
  {
    code: 'unit-unknown',
    title: 'An unknown unit',
    text: 'Capitals count in units (g, kg, mg; l and L alike). An ounce may be mass or volume and a gallon American or imperial, so these are written `oz-av`, `floz-US`, `floz-imp`, `gal-US`, `gal-imp`.',
  },
  {
    code: 'unit-wrong',
    title: 'A unit that does not fit',
    text: 'The unit measures something else than the place holds: a density in grams, a time in metres.',
  },
  {
    code: 'unit-glued',
    title: 'No blank before a unit',
    text: 'A blank stands between number and unit: 250 g. It is read all the same.',
  },
  {
    code: 'unit-unwanted',
    title: 'A unit where none belongs',
    text: 'Parts are plain numbers: they are ratios, whatever is weighed by them. How much is made stands in the target weight.',
  },
  {
    code: 'date-impossible',
    title: 'A date or time that does not exist',
    text: 'Dates are written year-month-day, times behind a T in twenty-four hours: 2026-10-14T09:20.',
  },
  {
    code: 'geometry-impossible',
    title: 'An angle that no instrument has',
    text: 'A geometry is the angle of illumination, `as`, and the angle from the gloss: 45as15, 45as-15. Others are written 45/0 and d/8.',
  },
  {
    code: 'range-step',
    title: 'A range without a usable step',
    text: 'Wavelengths are written first..last/step in nanometres: 400..700/10.',
  },
  {
    code: 'range-backward',
    title: 'A range that runs backward',
    text: 'The smaller figure stands first: 2019..2023.',
  },
  {
    code: 'list-count',
    title: 'A list does not fit its range',
    text: 'A range of wavelengths says how many values follow: 400..700/10 has 31. A value was lost or doubled when the list was copied, or the range is wrong. The list is not used until they agree.',
  },
  {
    code: 'list-number',
    title: 'Something in a list is no number',
    text: 'A list holds numbers and nothing else, to the end of its lines. A comment in it begins with `#`.',
  },
  {
    code: 'id-shape',
    title: 'Something that cannot be an id',
    text: 'An id has letters, digits, `_`, `.` and `-`, begins with a letter or a digit, and is no decimal number.',
  },
  {
    code: 'id-path',
    title: 'A path where none belongs',
    text: 'Only the ids of variants are paths, with a stroke between parent and variant: `variant SAM-31/dark`. Begin the entry with `variant`, or write the id with a hyphen.',
  },
  {
    code: 'variant-parent',
    title: 'A variant that does not say whose it is',
    text: 'The id of a variant is a path whose front part is its parent: `variant SAM-31/dark` derives from SAM-31.',
  },
];
