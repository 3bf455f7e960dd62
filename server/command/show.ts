import { resolve } from 'node:path';
import { type CoatsChartAnswer, coatsChart } from '../answers/coats-chart.ts';
import { show } from '../answers/show.ts';
import { subject, Unanswerable } from '../answers/subject.ts';
import type { Book } from '../book/book.ts';
import type { EntryCell } from '../book/cell.ts';
import { moment, shopOf } from '../book/known.ts';
import { coatsSvg } from '../report/svg/coats.ts';
import { showText } from '../report/text/show.ts';
import { loadBook } from './load.ts';
import { putOptics } from './optics.ts';
import { answer, type CommonOptions, type Output, verb } from './verb.ts';
import { type ViewingOptions, viewingsAsked, withViewings } from './viewings.ts';

interface Options extends CommonOptions, ViewingOptions {
  readonly against?: string;
  readonly at?: string;
  readonly chart?: boolean;
}

/** The kinds that are shown with a prediction, for which the toners have to be known. */
const PREDICTED: ReadonlySet<string | undefined> = new Set(['formula', 'variant', 'batch']);

/** `pourbook show ID`: a reading with its colours, a formula with its pours and its card, an instrument with its calibrations. */
export const showVerb = (output: Output) =>
  withViewings(verb('show', 'lay one entry open: a reading, a card, a formula or an instrument'))
    .argument('<id>', 'the id of the entry, or kind:id')
    .option('--at <time>', 'of a batch with hardener in it: the hour at the bench, such as 2026-10-14T14:05; else now')
    .option('--against <id>', 'also tell how far it parts from this standard when the light changes')
    .option('--chart', 'of a formula: print its coats to hide against the grey below as a picture (SVG)')
    .action(async (id: string, options: Options) => {
      const folder = resolve(output.folder, options.book);
      const book = await loadBook(folder);
      const cell = subject(book, id);
      if (PREDICTED.has(cell.entry.kind)) await putOptics(output, folder, book);
      if (options.chart) return answer(output, options, chartOf(book, cell), coatsSvg);
      const shown = show(book, cell, {
        now: hourAsked(book, options.at),
        viewings: viewingsAsked(options, shopOf(book).viewings),
        ...(options.against === undefined ? {} : { against: subject(book, options.against) }),
      });
      answer(output, options, shown, showText);
    });

/** @throws Unanswerable where there are no coats to draw. */
function chartOf(book: Book, cell: EntryCell): CoatsChartAnswer {
  const { kind } = cell.entry;
  if (kind === 'formula' || kind === 'variant') return coatsChart(book, cell);
  throw new Unanswerable(`--chart draws the coats of a formula; this is a ${kind}.`);
}

/** Hours without a zone are the shop's. */
function hourAsked(book: Book, at: string | undefined): number {
  if (at === undefined) return Date.now();
  const found = moment(book, at);
  if (!found) throw new Unanswerable(`'${at}' is no time. Write it as in a batch, such as 2026-10-14T14:05.`);
  return found.at;
}
