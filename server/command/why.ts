import { resolve } from 'node:path';
import { subject } from '../answers/subject.ts';
import { FIGURES, why } from '../answers/why.ts';
import { whyText } from '../report/text/why.ts';
import { loadBook } from './load.ts';
import { answer, type CommonOptions, type Output, verb } from './verb.ts';

/** `pourbook why ID FIGURE`: where a figure comes from, with file and line. */
export const whyVerb = (output: Output) =>
  verb('why', 'tell where a figure comes from')
    .argument('<id>', 'the id of a formula or variant')
    .argument('<figure...>', `the figure: ${FIGURES.join(', ')}`)
    .action(async (id: string, figure: string[], options: CommonOptions) => {
      const book = await loadBook(resolve(output.folder, options.book));
      answer(output, options, why(book, subject(book, id, ['formula']), figure.join(' ')), whyText);
    });
