import { resolve } from 'node:path';
import { compare, USUAL_METRICS } from '../answers/compare.ts';
import { subject } from '../answers/subject.ts';
import { shopOf } from '../book/known.ts';
import { isMetric, METRICS, type Metric } from '../colour/difference.ts';
import { compareText } from '../report/text/compare.ts';
import { loadBook } from './load.ts';
import { answer, type CommonOptions, type Output, verb } from './verb.ts';
import { listOf, readAs, type ViewingOptions, viewingsAsked, withViewings } from './viewings.ts';

interface Options extends CommonOptions, ViewingOptions {
  readonly metric?: readonly Metric[];
  readonly anyway?: boolean;
}

/** The kinds that have a colour. */
const COLOURED = ['reading', 'sprayout', 'drawdown', 'formula'] as const;

/** `pourbook compare STANDARD SAMPLE`: the difference of the sample from the standard, per angle and light. */
export const compareVerb = (output: Output) =>
  withViewings(verb('compare', 'compare two readings, cards or formulas; the first is the standard'))
    .argument('<standard>', 'the id of the standard')
    .argument('<sample>', 'the id of what is compared with it')
    .option('--metric <which>', `usual, all, or some of ${METRICS.join(',')}`, metricsOption)
    .option('--anyway', 'compare even what was not read alike; the reason stands beside the figures')
    .action(async (a: string, b: string, options: Options) => {
      const book = await loadBook(resolve(output.folder, options.book));
      const compared = compare(book, subject(book, a, COLOURED), subject(book, b, COLOURED), {
        metrics: options.metric ?? USUAL_METRICS,
        viewings: viewingsAsked(options, shopOf(book).viewings),
        anyway: options.anyway === true,
      });
      answer(output, options, compared, compareText);
      if (compared.refused) output.exitCode = 1;
    });

function metricsOption(text: string): readonly Metric[] {
  if (text === 'all') return METRICS;
  return text === 'usual' ? USUAL_METRICS : listOf((part) => readAs(parseMetric, part))(text);
}

function parseMetric(text: string): Metric {
  if (isMetric(text)) return text;
  throw new RangeError(
    `'${text}' is no colour difference known here: write usual, all, or some of ${METRICS.join(',')}.`,
  );
}
