import { execFile } from 'node:child_process';
import { readFile, writeFile } from 'node:fs/promises';
import { basename, resolve } from 'node:path';
import { Command, InvalidArgumentError } from 'commander';
import { decodeBook } from '../book/decode.ts';
import { LOCK_NAME } from '../book/optics/lock.ts';
import { type Merged, merge } from '../review/merge.ts';
import { type MergedLock, mergeLock } from '../review/merge-lock.ts';
import { NoBook } from './no-book.ts';
import type { Output } from './verb.ts';

interface Options {
  readonly markerSize: number;
  readonly stdout?: boolean;
}

/** `pourbook merge %O %A %B %P`: git's merge driver for `.pour` files and optics.lock; the result takes the place of %A. */
export const mergeVerb = (output: Output) =>
  new Command('merge')
    .description('merge two versions of a file entry by entry and line by line (a merge driver for git)')
    .argument('<base>', 'the file that both come from (%O)')
    .argument('<ours>', 'our version, which is replaced by the result (%A)')
    .argument('<theirs>', 'their version (%B)')
    .argument('[path]', 'what the file is called (%P)')
    .option('--marker-size <length>', 'the length of conflict markers (%L)', markerSize, 7)
    .option('--stdout', 'print the result and leave our version as it is')
    .helpOption('--help', 'show what the verb does and its options')
    .action(async (base: string, ours: string, theirs: string, path: string | undefined, options: Options) => {
      const files = [base, ours, theirs].map((file) => resolve(output.folder, file));
      const texts = await Promise.all(files.map(readText));
      const name = path ?? ours;
      const write = async (text: string) =>
        options.stdout ? output.out(text.replace(/\r?\n$/, '')) : writeFile(files[1]!, text);
      if (basename(name) === LOCK_NAME) {
        const lock = mergeLock(texts[0]!, texts[1]!, texts[2]!);
        await write(lock.text);
        for (const line of toldOfLock(lock, name)) output.err(line);
        if (lock.spoiled) output.exitCode = 1;
        return;
      }
      // Bytes that are no UTF-8 would be lost in reading and writing: git merges such a file by its lines.
      if (texts.some((text) => text.includes('\uFFFD'))) {
        output.err(`${name} is no UTF-8: merged by lines.`);
        output.exitCode = await mergeByLines(files, options, output);
        return;
      }
      const merged = merge(texts[0]!, texts[1]!, texts[2]!, { marker: options.markerSize });
      await write(merged.text);
      for (const line of told(merged, name)) output.err(line);
      if (merged.conflicts.length > 0) output.exitCode = 1;
    });

function markerSize(text: string): number {
  const size = Number(text);
  if (!Number.isInteger(size) || size < 1 || size > 200)
    throw new InvalidArgumentError('Write a whole number, usually 7.');
  return size;
}

async function readText(file: string): Promise<string> {
  const bytes = await readFile(file).catch(() => undefined);
  if (!bytes) throw new NoBook(`There is no file ${file} that can be read.`);
  return decodeBook(bytes);
}

function toldOfLock({ both, spoiled }: MergedLock, name: string): string[] {
  const again = 'Once the cards are merged, write it again: pourbook fit --write';
  if (spoiled) return [`${name}: neither side can be read. ${again}`];
  return both.length > 0 ? [`${name}: both sides learned ${both.join(', ')}; ours stands. ${again}`] : [];
}

function told({ conflicts, unseen }: Merged, name: string): string[] {
  return [
    ...conflicts.map(({ entry, why }) => `${name}: conflict in ${entry || 'the file'}: ${why}.`),
    ...unseen.map(
      (entry) =>
        `${name}: ${entry} was put together of both sides' changes. Nobody has seen this paint: look at it, spray it out.`,
    ),
  ];
}

const mergeByLines = (
  [base, ours, theirs]: readonly string[],
  { markerSize, stdout }: Options,
  output: Output,
): Promise<0 | 1> =>
  new Promise((done) => {
    const args = ['merge-file', '--marker-size', String(markerSize), ...(stdout ? ['-p'] : []), ours!, base!, theirs!];
    execFile('git', args, (error, out) => {
      if (stdout) output.out(out);
      done(error ? 1 : 0);
    });
  });
