import { stat } from 'node:fs/promises';
import { resolve } from 'node:path';
import { Option } from 'commander';
import { LOCK_NAME } from '../book/optics/lock-name.ts';
import { FAIL_ON, type FailOn } from '../review/fail.ts';
import type { CommitHead, Source } from '../review/source.ts';
import { sourceOfFolder } from './folder-source.ts';
import { commitOf, mergeBase, repositoryOf, sourceOfTree } from './git.ts';
import { commitsOf } from './log.ts';
import { NoBook } from './pour-files.ts';
import { FORMATS } from './review-formats.ts';
import { type CommonOptions, type Output, verb } from './verb.ts';

interface Options extends CommonOptions {
  readonly format: string;
  readonly failOn: FailOn;
}

/** `pourbook review BASE[..HEAD]` or `pourbook review FOLDER FOLDER`: what a change to the book does to the paint. */
export const reviewVerb = (output: Output) =>
  verb('review', 'tell what a change to the book does to the paint')
    .argument(
      '<base>',
      'BASE (against the files as they lie there), BASE..HEAD, BASE...HEAD (from where HEAD left BASE), or a folder',
    )
    .argument('[head]', 'the second of two folders or commits')
    .addOption(new Option('--format <format>', 'how it is written').choices(Object.keys(FORMATS)).default('text'))
    .addOption(
      new Option('--fail-on <level>', 'exit with 1 from this level on, see the manual')
        .choices(FAIL_ON)
        .default('none'),
    )
    .action(async (base: string, head: string | undefined, options: Options) => {
      // Git works while the rest of the program is loaded.
      const [{ before, after, commits }, { failsOn, openVersions, review }, write] = await Promise.all([
        sources(output, options, base, head),
        import('./review-work.ts'),
        FORMATS[options.json ? 'json' : options.format]!(),
      ]);
      const found = review(await openVersions(before, after), commits);
      output.out(write(found).trimEnd());
      if (failsOn(found, options.failOn)) output.exitCode = 1;
    });

interface Compared {
  readonly before: Source;
  readonly after: Source;
  readonly commits: readonly CommitHead[];
}

async function sources(output: Output, options: Options, base: string, head: string | undefined): Promise<Compared> {
  const folder = resolve(output.folder, options.book);
  if (head !== undefined) {
    const folders = [resolve(output.folder, base), resolve(output.folder, head)];
    if ((await Promise.all(folders.map(isFolder))).every(Boolean))
      return {
        before: await sourceOfFolder(folders[0]!, base),
        after: await sourceOfFolder(folders[1]!, head),
        commits: [],
      };
  }
  if (!(await isFolder(folder)))
    throw new NoBook(`There is no folder ${options.book}. Name the folder of the book with --book.`);
  const { from, to, fork } = head === undefined ? rangeOf(base) : { from: base, to: head, fork: false };
  const { root, below } = await repositoryOf(folder);
  const [last, named] = await Promise.all([
    to === undefined ? undefined : commitOf(folder, to),
    commitOf(folder, from),
  ]);
  const first = fork && last !== undefined ? await mergeBase(folder, named, last) : named;
  const before = await sourceOfTree(root, below, first, from);
  const after =
    last === undefined
      ? await sourceOfFolder(folder, 'the files as they are')
      : await sourceOfTree(root, below, last, to!, before);
  if (before.files.size === 0 && after.files.size === 0)
    throw new NoBook(
      `Neither version holds a .pour file${below ? ` in ${below}` : ''}. Name the folder of the book with --book.`,
    );
  const commits = await commitsOf(root, `${first}..${last ?? 'HEAD'}`, below, { beside: true });
  const ofBook = commits.filter(({ changes }) =>
    changes.some(({ path }) => path.endsWith('.pour') || path === LOCK_NAME),
  );
  return {
    before,
    after,
    commits: ofBook.map(({ hash, author, date, subject }) => ({ hash, author, date, subject })),
  };
}

/** `A..B`, `A...B`, or `A` alone for the files as they lie there; what is left out is HEAD, as in git. */
export function rangeOf(text: string): {
  readonly from: string;
  readonly to: string | undefined;
  readonly fork: boolean;
} {
  const [, from, dots, to] = /^(.*?)(\.{2,3})(.*)$/.exec(text) ?? [];
  if (dots === undefined) return { from: text, to: undefined, fork: false };
  return { from: from || 'HEAD', to: to || 'HEAD', fork: dots === '...' };
}

const isFolder = async (path: string): Promise<boolean> =>
  (await stat(path).catch(() => undefined))?.isDirectory() ?? false;
