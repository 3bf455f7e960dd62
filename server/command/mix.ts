import { resolve } from 'node:path';
import { mix } from '../answers/mix.ts';
import { subject } from '../answers/subject.ts';
import type { Quantity } from '../exact/quantity.ts';
import { mixText } from '../report/text/mix.ts';
import { loadBook } from './load.ts';
import { answer, type CommonOptions, type Output, quantityOption, verb } from './verb.ts';

/** `pourbook mix ID --weight 80g`: the undercoat grey with its pours, then the colour's. */
export const mixVerb = (output: Output) =>
  verb('mix', 'print what to pour: the undercoat grey first, then the colour')
    .argument('<id>', 'the id of a formula or variant')
    .option(
      '--weight <weight>',
      'how much, such as 80g; the target weight of the formula when nothing is said',
      quantityOption,
    )
    .action(async (id: string, options: CommonOptions & { weight?: Quantity }) => {
      const book = await loadBook(resolve(output.folder, options.book));
      answer(output, options, mix(book, subject(book, id, ['formula']), options.weight), mixText);
    });
