import { resolve } from 'node:path';
import { show } from '../answers/show.ts';
import { subject } from '../answers/subject.ts';
import { showText } from '../report/text/show.ts';
import { loadBook } from './load.ts';
import { answer, type CommonOptions, type Output, verb } from './verb.ts';

/** `pourbook show ID`: a reading with its colours and repeatability, or a formula with its pours and how near its card comes. */
export const showVerb = (output: Output) =>
  verb('show', 'lay one entry open: a reading, a card or a formula')
    .argument('<id>', 'the id of the entry, or kind:id')
    .action(async (id: string, options: CommonOptions) => {
      const book = await loadBook(resolve(output.folder, options.book));
      answer(output, options, show(book, subject(book, id)), showText);
    });
