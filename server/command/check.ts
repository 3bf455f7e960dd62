import { existsSync } from 'node:fs';
import { relative, resolve, sep } from 'node:path';
import { fileURLToPath } from 'node:url';
import { Option } from 'commander';
import { nearest } from '../../grammar/nearest.ts';
import { type CheckAnswer, check } from '../answers/check.ts';
import { Unanswerable } from '../answers/subject.ts';
import type { Page } from '../book/checks/check.ts';
import { pages } from '../book/manual.ts';
import { checkHtml } from '../report/html/check.ts';
import { checkJUnit } from '../report/junit/check.ts';
import { checkMarkdown } from '../report/markdown/check.ts';
import { checkSarif } from '../report/sarif/check.ts';
import { checkText } from '../report/text/check.ts';
import { pageText } from '../report/text/page.ts';
import { loadBook } from './load.ts';
import { NoBook } from './no-book.ts';
import { putPredictions } from './optics.ts';
import { answer, type CommonOptions, type Output, verb } from './verb.ts';

const FORMATS: Readonly<Record<string, (found: CheckAnswer) => string>> = {
  text: checkText,
  json: (found) => JSON.stringify(found, null, 2),
  markdown: checkMarkdown,
  html: checkHtml,
  sarif: checkSarif,
  junit: checkJUnit,
};

/** `pourbook check [PATH…]`: findings of the book, or of the named files and folders in it. */
export const checkVerb = (output: Output) =>
  verb('check', 'report every finding of the book, or of the named files and folders')
    .argument('[path...]', 'files or folders to report on; the whole book is read all the same')
    .addOption(new Option('--format <format>', 'how it is written').choices(Object.keys(FORMATS)).default('text'))
    .option('--explain <code>', 'tell what a finding means and what to do, by its code, and check nothing')
    .action(async (paths: string[], options: CommonOptions & { format: string; explain?: string }) => {
      if (options.explain !== undefined) return answer(output, options, pageNamed(options.explain), pageText);
      const folder = resolve(output.folder, options.book);
      const book = await loadBook(folder);
      await putPredictions(output, folder, book);
      const wanted = paths.map((path) => resolve(output.folder, path));
      for (const path of wanted) if (!existsSync(path)) throw new NoBook(`There is no file or folder ${path}.`);
      const within = (uri: string) => {
        const file = fileURLToPath(uri);
        return wanted.length === 0 || wanted.some((path) => file === path || file.startsWith(path + sep));
      };
      const found = check(book, (uri) => relative(output.folder, fileURLToPath(uri)), within);
      output.out(FORMATS[options.json ? 'json' : options.format]!(found).trimEnd());
      if (found.findings.length > 0) output.exitCode = 1;
    });

function pageNamed(code: string): Page {
  const page = pages.get(code);
  if (page) return page;
  const guess = nearest(code, pages.keys());
  throw new Unanswerable(
    `No finding has the code '${code}'.${guess ? ` Did you mean '${guess}'?` : ''} The code stands in brackets behind each finding.`,
  );
}
