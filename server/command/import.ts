import { readFile, writeFile } from 'node:fs/promises';
import { basename, relative, resolve } from 'node:path';
import { type Command, InvalidArgumentError } from 'commander';
import { type ImportAnswer, type ImportAsked, importReadings } from '../answers/import.ts';
import { Book } from '../book/book.ts';
import { geometryText, parseGeometry } from '../colour/geometry.ts';
import type { Observer } from '../colour/observers.ts';
import { parseObserver } from '../colour/viewing.ts';
import { importFindingsText } from '../report/text/import.ts';
import { loadBook } from './load.ts';
import { NoBook } from './no-book.ts';
import { type CommonOptions, type Output, verb } from './verb.ts';
import { readAs } from './viewings.ts';

interface Options extends CommonOptions {
  readonly scale?: NonNullable<ImportAsked['scale']>;
  readonly geometry?: string;
  readonly observer?: Observer;
  readonly out?: string;
}

/** `pourbook import FILE`: the readings of an open-format file as entries of the book, on standard output unless a file is named. */
export const importVerb = (output: Output) =>
  verb('import', 'write the readings of a CGATS.17, CxF3 or CSV file as entries of the book')
    .argument('<file>', 'the file as the instrument exports it')
    .option('--scale <scale>', 'the scale of its spectra: fraction or per-cent', scaleOption)
    .option('--geometry <angle>', 'the angle of values whose file does not say it, such as 45/0', (text) =>
      readAs((written) => geometryText(parseGeometry(written)), text),
    )
    .option('--observer <degrees>', 'the observer of Lab whose file names only the illuminant: 10 or 2', (text) =>
      readAs(parseObserver, text),
    )
    .option('--out <file>', 'write the entries into this new file')
    .action(async (file: string, options: Options, command: Command) => {
      const path = resolve(output.folder, file);
      const bytes = await readFile(path).catch(() => undefined);
      if (!bytes) throw new NoBook(`There is no file ${file} that can be read.`);
      const book = await bookBeside(output, options, command);
      const { scale, geometry, observer } = options;
      const imported = importReadings(book, bytes, basename(path), {
        ...(scale && { scale }),
        ...(geometry && { geometry }),
        ...(observer && { observer }),
      });
      await deliver(output, options, relative(output.folder, path), imported);
    });

function scaleOption(text: string): ImportAsked['scale'] {
  if (text === 'fraction') return 'fraction';
  if (text === 'per-cent' || text === 'percent' || text === 'per cent') return 'per cent';
  throw new InvalidArgumentError('Write fraction (1 is the perfect white) or per-cent (100 is).');
}

/** A file can be imported before there is a book; a book that is named has to be there. */
async function bookBeside(output: Output, options: Options, command: Command): Promise<Book> {
  try {
    return await loadBook(resolve(output.folder, options.book));
  } catch (error) {
    if (error instanceof NoBook && command.getOptionValueSource('book') === 'default') return new Book();
    throw error;
  }
}

/** All entries or none: nothing is written for a file that was refused. */
async function deliver(output: Output, options: Options, file: string, imported: ImportAnswer): Promise<void> {
  const refused = imported.findings.some((one) => one.severity === 'error');
  if (imported.findings.length > 0) output.err(importFindingsText(file, imported.findings));
  if (!refused && options.out !== undefined) await writeNew(resolve(output.folder, options.out), options.out, imported);
  if (options.json) output.out(JSON.stringify(imported, null, 2));
  else if (!refused && options.out === undefined) output.out(imported.text.trimEnd());
  if (refused) output.exitCode = 2;
  else if (imported.findings.some((one) => one.severity === 'warning')) output.exitCode = 1;
}

async function writeNew(path: string, shown: string, { text }: ImportAnswer): Promise<void> {
  try {
    await writeFile(path, text, { flag: 'wx' });
  } catch (error) {
    const exists = (error as NodeJS.ErrnoException).code === 'EEXIST';
    throw new NoBook(
      exists
        ? `${shown} is there already and was not touched. Name a new file with --out.`
        : `${shown} could not be written: ${(error as Error).message}`,
    );
  }
}
