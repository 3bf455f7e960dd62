import type { Finding } from '../../../grammar/finding.ts';
import { nearest } from '../../../grammar/nearest.ts';
import { value } from '../../../grammar/tree.ts';
import type { ImportResult } from '../../formats/imported.ts';
import type { Measured } from '../entries/measured.ts';
import { importOf, type Unused, unusedOf } from '../imported.ts';
import { measuredIn } from '../known.ts';
import { type Check, finding, listed, writing } from './check.ts';

export const fileNamed: Check = {
  pages: [
    {
      code: 'file-place',
      title: 'A file that may not be named',
      text: 'The file of a reading lies in the folder of the book or below it and is named from there with forward strokes, as in `readings/sam-door.cgats`. Absolute paths, `..` and other folders are refused, so that a book reads the same wherever it is copied.',
    },
    {
      code: 'file-missing',
      title: 'The file of a reading is not there',
      text: 'The reading takes its values from a file that was not found beside the book. Copy the file there, or correct its name; capitals count on some machines.',
    },
    {
      code: 'file-refused',
      title: 'The file of a reading could not be read',
      text: 'The file holds an error, so none of it is used: half a measurement should never pass for a whole one. What is wrong, and in which line of the file, is told. Export it again as CGATS.17, CxF3 or CSV.',
    },
    {
      code: 'file-remark',
      title: 'Something to know about an imported file',
      text: 'The file was read, but something in it was guessed or left out, such as the scale of its reflectances. What, and in which line, is told.',
    },
    {
      code: 'file-sample',
      title: 'Which sample of the file?',
      text: 'The file holds several samples and the line does not say which one is meant, or names one that the file does not have. Write its name: `file "day.cgats" sample "SAM door"`.',
    },
  ],
  in: ['reading', 'sprayout', 'drawdown'],
  acrossFiles: true,
  *find(book, cell) {
    const measured = measuredIn(book, cell);
    const state = importOf(book, cell, measured);
    const at = measured.file && value(measured.file.line, 'file');
    if (!state || !measured.file || !at) return;
    const { name } = measured.file;
    if (state.uri === undefined) {
      yield finding(
        'file-place',
        'error',
        at,
        `The file "${name}" does not lie beside the book.`,
        'Copy it into the folder of this book file or below it, and name it from there.',
      );
    } else if (!state.result) {
      yield finding(
        'file-missing',
        'error',
        at,
        `There is no file "${name}" beside this book file.`,
        'Copy it there, or correct the name.',
      );
    } else {
      yield* remarks(measured, state.result, unusedOf(book, cell, measured));
      yield* sample(measured, state.result);
    }
  },
};

/** As many remarks of a file as help at its line; the rest are counted. */
const MOST = 3;

/** Of a value that cannot be used the check file-values tells why; remarks on its line would say it twice. */
function* remarks({ file }: Measured, { findings }: ImportResult, unused: readonly Unused[]): Generator<Finding> {
  const at = value(file!.line, 'file') ?? file!.line;
  const errors = findings.filter((one) => one.severity === 'error');
  const unusedLines = new Set(unused.map(({ value }) => value.place.line));
  const told = errors.length > 0 ? errors : findings.filter((one) => !unusedLines.has(one.line));
  for (const one of told.slice(0, MOST)) {
    const refused = one.severity === 'error';
    const more = told.length > MOST ? ` (${told.length - MOST} more like this)` : '';
    yield finding(
      refused ? 'file-refused' : 'file-remark',
      one.severity,
      at,
      `${refused ? 'The file cannot be used: l' : 'L'}ine ${one.line} of "${file!.name}": ${one.message}`,
      refused
        ? `Put it right where it was exported, or write the values here.${more}`
        : `Make sure that this is so.${more}`,
    );
  }
}

function* sample({ file }: Measured, { readings }: ImportResult): Generator<Finding> {
  const { line, sample: wanted } = file!;
  const names = readings.map((reading) => reading.name);
  if (names.length === 0 || (wanted === undefined ? names.length === 1 : names.includes(wanted))) return;
  const shown = names.length > 6 ? [...names.slice(0, 6), `${names.length - 6} more`] : names;
  const at = value(line, 'sample') ?? value(line, 'file') ?? line;
  if (wanted === undefined) {
    yield finding(
      'file-sample',
      'error',
      at,
      `The file holds ${names.length} samples, and this line does not say which is meant.`,
      `Write its name behind the file, for example: sample "${names[0]}". The file has ${listed(shown)}.`,
    );
    return;
  }
  const guess = nearest(wanted, names);
  yield finding(
    'file-sample',
    'error',
    at,
    `The file has no sample "${wanted}".`,
    `${guess ? `Did you mean "${guess}"? ` : ''}It has ${listed(shown)}.`,
    guess ? { fixes: [writing(at, `"${guess}"`)] } : {},
  );
}
