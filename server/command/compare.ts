import { resolve } from 'node:path';
import { compare, USUAL_METRICS } from '../answers/compare.ts';
import { subject } from '../answers/subject.ts';
import { METRICS } from '../colour/difference.ts';
import { compareText } from '../report/text/compare.ts';
import { loadBook } from './load.ts';
import { answer, type CommonOptions, type Output, verb } from './verb.ts';

interface Options extends CommonOptions {
  readonly metric: 'usual' | 'all';
}

/** `pourbook compare A B`: the difference of B from the standard A, per angle and light. */
export const compareVerb = (output: Output) =>
  verb('compare', 'compare two readings, cards or formulas; the first is the standard')
    .argument('<standard>', 'the id of the standard')
    .argument('<sample>', 'the id of what is compared with it')
    .option('--metric <which>', 'usual or all', 'usual')
    .action(async (a: string, b: string, options: Options) => {
      const book = await loadBook(resolve(output.folder, options.book));
      const metrics = options.metric === 'all' ? METRICS : USUAL_METRICS;
      answer(output, options, compare(book, subject(book, a), subject(book, b), metrics), compareText);
    });
