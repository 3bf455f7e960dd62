import { relative, resolve, sep } from 'node:path';
import { fileURLToPath } from 'node:url';
import { check } from '../answers/check.ts';
import { checkText } from '../report/text/check.ts';
import { loadBook } from './load.ts';
import { answer, type CommonOptions, type Output, verb } from './verb.ts';

/** `pourbook check [PATH…]`: findings of the book, or of the named files and folders in it. */
export const checkVerb = (output: Output) =>
  verb('check', 'report every finding of the book, or of the named files and folders')
    .argument('[path...]', 'files or folders to report on; the whole book is read all the same')
    .action(async (paths: string[], options: CommonOptions) => {
      const book = await loadBook(resolve(output.folder, options.book));
      const wanted = paths.map((path) => resolve(output.folder, path));
      const within = (uri: string) => {
        const file = fileURLToPath(uri);
        return wanted.length === 0 || wanted.some((path) => file === path || file.startsWith(path + sep));
      };
      const found = check(book, (uri) => relative(output.folder, fileURLToPath(uri)), within);
      answer(output, options, found, checkText);
      if (found.findings.length > 0) output.exitCode = 1;
    });
