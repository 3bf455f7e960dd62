import { readFile, stat, writeFile } from 'node:fs/promises';
import { relative, resolve } from 'node:path';
import { applied, formatText } from '../../grammar/printer.ts';
import { decodeBook } from '../book/decode.ts';
import { NoBook } from './no-book.ts';
import { pourFiles } from './pour-files.ts';
import { answer, type CommonOptions, type Output, verb } from './verb.ts';

interface Options extends CommonOptions {
  readonly check?: boolean;
}

export interface FormatAnswer {
  /** Files whose columns are (with --check: would be) put straight. */
  readonly changed: readonly string[];
  /** Files that are no UTF-8 and were left alone. */
  readonly skipped: readonly string[];
  readonly files: number;
}

/** `pourbook format`: puts the columns of every file straight; entries with an error are left alone. */
export const formatVerb = (output: Output) =>
  verb('format', 'put the columns straight; entries with an error are left alone')
    .argument('[path...]', 'files or folders; the whole book when none is named')
    .option('--check', 'write nothing; exit with 1 when a file would change')
    .action(async (paths: string[], options: Options) => {
      const roots = (paths.length > 0 ? paths : [options.book]).map((path) => resolve(output.folder, path));
      const files = (await Promise.all(roots.map(filesBelow))).flat();
      const changed: string[] = [];
      const skipped: string[] = [];
      for (const file of files) {
        const before = decodeBook(await readFile(file));
        const name = relative(output.folder, file);
        // Writing a wrongly decoded file back would lose its bytes.
        if (before.includes('\ufffd')) skipped.push(name);
        else {
          const after = applied(before, formatText(before));
          if (after === before) continue;
          changed.push(name);
          if (!options.check) await writeFile(file, after);
        }
      }
      answer(output, options, { changed, skipped, files: files.length }, (value) =>
        formatReport(value, options.check === true),
      );
      if (options.check && changed.length > 0) output.exitCode = 1;
    });

async function filesBelow(path: string): Promise<string[]> {
  const info = await stat(path).catch(() => undefined);
  if (!info) throw new NoBook(`There is no file or folder ${path}.`);
  return info.isDirectory() ? pourFiles(path) : [path];
}

function formatReport({ changed, skipped, files }: FormatAnswer, checked: boolean): string {
  const told = changed.map((file) => `${checked ? 'would change' : 'changed'}: ${file}`);
  const left = skipped.map((file) => `left alone, it is no UTF-8: ${file}`);
  return [...told, ...left, `${changed.length} of ${files} files ${checked ? 'would change' : 'changed'}`].join('\n');
}
