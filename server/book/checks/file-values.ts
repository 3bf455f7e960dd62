import { value } from '../../../grammar/tree.ts';
import type { FilePlace } from '../../formats/imported.ts';
import { type Lack, specularOf, unusedOf } from '../imported.ts';
import { measuredIn, shopOf } from '../known.ts';
import { type Check, finding } from './check.ts';

export const fileValues: Check = {
  pages: [
    {
      code: 'file-angle',
      title: 'The file does not say at which angle it was measured',
      text: 'A colour without its measuring geometry is no colour of a flake paint, so values of which the file does not say the angle are not used and none is made up. Export the file with its angle, or turn it into lines of the book with `pourbook import FILE --geometry 45/0`, which keeps the figures as they are.',
    },
    {
      code: 'file-light',
      title: 'The file does not say for which light its Lab is',
      text: 'The file names the illuminant of its Lab without the observer, or the observer without the illuminant, or a light that is not known here. Such Lab is not used. Where the file names neither, the first illuminant of the book is taken, and that is said.',
    },
    {
      code: 'file-bandpass',
      title: 'Spectra that are not corrected alike',
      text: 'The spectra of one reading are either all corrected for the bandpass of the instrument or all not (`bandpass corrected`, the default, or `bandpass uncorrected`). Spectra of the file that are said to be otherwise are not used.',
    },
    {
      code: 'file-specular',
      title: 'A sphere reading that sees the gloss otherwise than the book says',
      text: 'The surface correction of the book (`saunderson … specular excluded`) says whether its instruments see the gloss; this file says otherwise. The colour stands, but what is learned of the toners from this card is not right. Take the reading, or the sample of the file, with the gloss as the book has it.',
    },
  ],
  in: ['reading', 'sprayout', 'drawdown'],
  acrossFiles: true,
  *find(book, cell) {
    const measured = measuredIn(book, cell);
    const { file } = measured;
    if (!file) return;
    const at = value(file.line, 'file') ?? file.line;
    const unused = unusedOf(book, cell, measured);
    for (const lack of ['angle', 'light', 'bandpass'] as const) {
      const values = unused.filter((one) => one.lack === lack);
      const first = values[0]?.value.place;
      if (first)
        yield finding(
          `file-${lack}`,
          'warning',
          at,
          `${counted(values.length)} of "${file.name}" cannot be used: ${WHY[lack]}${line(first)}.`,
          REMEDY[lack],
        );
    }
    const specular = specularOf(book, cell, measured);
    const wanted = shopOf(book).saunderson.specular;
    if (specular && specular !== wanted && cell.entry.kind !== 'reading')
      yield finding(
        'file-specular',
        'warning',
        at,
        `The file was read with the gloss ${specular}; the book's surface correction is for the gloss ${wanted}.`,
        'Name the sample of the file that was read so, or measure it so.',
      );
  },
};

const counted = (count: number): string => (count === 1 ? 'One value' : `${count} values`);
const line = ({ line }: FilePlace): string => ` (line ${line} of the file)`;

const WHY: Readonly<Record<Lack, string>> = {
  angle: 'the file does not say at which angle it was measured',
  light: 'the file says only half of the light that the Lab is for, or one that is not known here',
  bandpass: 'the spectrum is not corrected for bandpass as the other spectra of this reading are',
};

const REMEDY: Readonly<Record<Lack, string>> = {
  angle: 'Export it with its angle, or write the values here with: pourbook import FILE --geometry 45/0',
  light: 'Export it with illuminant and observer, or as spectra.',
  bandpass:
    "Write 'bandpass corrected' or 'bandpass uncorrected' as the file has it, and keep the others in a reading of their own.",
};
