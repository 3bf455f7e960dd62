import { relative } from 'node:path';
import { fitAnswer } from '../answers/optics-fit.ts';
import { fitText } from '../report/text/fit.ts';
import { loadBookWithOptics, writeLock } from './optics.ts';
import { answer, type CommonOptions, type Output, verb } from './verb.ts';

interface Options extends CommonOptions {
  readonly write?: boolean;
  readonly advise?: boolean;
}

/** `pourbook fit`: what the cards tell of the toners; --write records it in optics.lock. */
export const fitVerb = (output: Output) =>
  verb('fit', 'learn the toners from the cards and tell how well they are known')
    .option('--write', 'record the fit in optics.lock beside the book')
    .option('--advise', 'name the drawdowns that would narrow the ± most')
    .action(async (options: Options) => {
      const book = await loadBookWithOptics(output, options.book);
      const fit = fitAnswer(book, options.advise === true);
      answer(output, options, fit, fitText);
      if (options.write) output.err(`Written: ${relative(output.folder, await writeLock(output, options.book, book))}`);
    });
