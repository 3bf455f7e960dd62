import { correctBatch, correctFormula } from '../answers/correct.ts';
import { subject, Unanswerable } from '../answers/subject.ts';
import type { CoatName } from '../book/entries/formula.ts';
import { additionsText, correctText } from '../report/text/correct.ts';
import { loadBookWithOptics } from './optics.ts';
import { answer, type CommonOptions, type Output, verb } from './verb.ts';

interface Options extends CommonOptions {
  readonly card?: readonly string[];
  readonly coat?: CoatName;
}

/** `pourbook correct FORMULA --card ID` revises a formula after its card; `correct BATCH` tells what to add to a cup. */
export const correctVerb = (output: Output) =>
  verb('correct', 'put right a colour that missed: a formula after its card, or a cup by additions')
    .argument('<id>', 'the id of a formula, a variant or a batch')
    .option(
      '--card <ids>',
      'cards that show the formula as it is now, with commas; all of them when nothing is said',
      ids,
    )
    .option('--coat <coat>', 'of a colour of several coats the one to change: ground, mid or top', coatAsked)
    .action(async (id: string, options: Options) => {
      const book = await loadBookWithOptics(output, options.book);
      const cell = subject(book, id, ['formula', 'batch']);
      if (cell.entry.kind !== 'batch') {
        answer(output, options, correctFormula(book, cell, options.card ?? [], options.coat), correctText);
        return;
      }
      if (options.card)
        throw new Unanswerable('A cup is corrected by its own card: leave --card away, or name the formula.');
      if (options.coat)
        throw new Unanswerable('The batch says which coat is in its cup: leave --coat away, or name the formula.');
      answer(output, options, correctBatch(book, cell), additionsText);
    });

const COATS: readonly CoatName[] = ['ground', 'mid', 'top'];

function coatAsked(text: string): CoatName {
  const found = COATS.find((coat) => coat === text);
  if (!found) throw new Unanswerable(`'${text}' is no coat: write ${COATS.join(', ')}.`);
  return found;
}

const ids = (text: string, before: readonly string[] = []): readonly string[] => [
  ...before,
  ...text.split(',').flatMap((part) => part.trim() || []),
];
