import { resolve } from 'node:path';
import { InvalidArgumentError } from 'commander';
import { match } from '../answers/match.ts';
import { mix } from '../answers/mix.ts';
import { subject } from '../answers/subject.ts';
import type { Quantity } from '../exact/quantity.ts';
import { matchText } from '../report/text/match.ts';
import { mixText } from '../report/text/mix.ts';
import { loadBook } from './load.ts';
import { answer, type CommonOptions, type Output, quantityOption, verb } from './verb.ts';

interface Options extends CommonOptions {
  readonly most?: number;
  readonly weight?: Quantity;
}

/** `pourbook match READING`: the formulas nearest to a reading; with a weight, also what to pour for the nearest. */
export const matchVerb = (output: Output) =>
  verb('match', 'find the formulas and variants that come nearest to a reading')
    .argument('<reading>', 'the id of the reading')
    .option('--most <count>', 'how many to list; 5 when nothing is said, 100 with --json', countOption)
    .option('--weight <weight>', 'also print the pours of the nearest at this weight, such as 80g', quantityOption)
    .action(async (id: string, options: Options) => {
      const book = await loadBook(resolve(output.folder, options.book));
      const found = match(
        book,
        subject(book, id, ['reading', 'sprayout', 'drawdown']),
        options.most ?? (options.json ? 100 : 5),
      );
      const nearest = found.candidates[0];
      if (!options.weight || !nearest) return answer(output, options, found, matchText);
      const pours = mix(book, subject(book, `formula:${nearest.formula}`), options.weight);
      answer(output, options, { ...found, mix: pours }, (value) => `${matchText(value)}\n\n${mixText(value.mix)}`);
    });

function countOption(text: string): number {
  if (/^[1-9]\d*$/.test(text)) return Number(text);
  throw new InvalidArgumentError('Write a count of 1 or more, for example 10.');
}
