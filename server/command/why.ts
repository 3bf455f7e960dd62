import { resolve } from 'node:path';
import { subject } from '../answers/subject.ts';
import { FIGURES, why } from '../answers/why.ts';
import { whyText } from '../report/text/why.ts';
import { loadBook } from './load.ts';
import { putOptics } from './optics.ts';
import { answer, type CommonOptions, type Output, verb } from './verb.ts';

const EXPLANATION = FIGURES.map(({ kind, figures }) => `  ${kind}: ${figures.join(', ')}`).join('\n');

/** `pourbook why ID FIGURE`: where a figure comes from, with file and line. */
export const whyVerb = (output: Output) =>
  verb('why', 'tell where a figure comes from')
    .argument('<id>', 'the id of the entry, or kind:id')
    .argument('<figure...>', 'the figure, see below')
    .addHelpText('after', `\nFigures:\n${EXPLANATION}`)
    .action(async (id: string, figure: string[], options: CommonOptions) => {
      const folder = resolve(output.folder, options.book);
      const book = await loadBook(folder);
      const cell = subject(book, id);
      if (cell.entry.kind === 'batch') await putOptics(output, folder, book); // its ways out are predicted
      answer(output, options, why(book, cell, figure.join(' ')), whyText);
    });
