import { statSync } from 'node:fs';
import { resolve } from 'node:path';
import { Option } from 'commander';
import { LOCK_NAME } from '../book/optics/lock-name.ts';
import { FAIL_ON, type FailOn } from '../review/fail.ts';
import type { CommitHead, Source } from '../review/source.ts';
import { commitOf, mergeBase, placeAndCommits, repositoryOf, sourceOfTree, sourcesOfTrees } from './git.ts';
import { type Commit, commitsOf } from './log.ts';
import { NoBook } from './no-book.ts';
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
      new Option('--fail-on <level>', 'exit with 1 from this level on, each taking in those before')
        .choices(FAIL_ON)
        .default('none'),
    )
    .action(async (base: string, head: string | undefined, options: Options) => {
      // Git works while the rest of the program is loaded.
      const [{ before, after, commits }, { failsOn, openVersions, review }, write] = await Promise.all([
        compared(output, options, base, head),
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

async function compared(output: Output, options: Options, base: string, head: string | undefined): Promise<Compared> {
  if (head !== undefined) {
    const folders = [resolve(output.folder, base), resolve(output.folder, head)];
    if (folders.every(isFolder)) {
      const { sourceOfFolder } = await folderSource();
      const [before, after] = await Promise.all([sourceOfFolder(folders[0]!, base), sourceOfFolder(folders[1]!, head)]);
      return { before, after, commits: [] };
    }
  }
  const folder = resolve(output.folder, options.book);
  if (!isFolder(folder))
    throw new NoBook(`There is no folder ${options.book}. Name the folder of the book with --book.`);
  const { from, to, fork } = head === undefined ? rangeOf(base) : { from: base, to: head, fork: false };
  const { root, below, named, last } = await resolved(folder, from, to);
  const first = fork && last !== undefined ? await mergeBase(folder, named, last) : named;
  const range = `${first}..${last ?? 'HEAD'}`;
  const [[before, after], commits] = await allInOrder([
    last === undefined
      ? Promise.all([sourceOfTree(root, below, first, from), workingTree(folder)])
      : sourcesOfTrees(root, below, [
          { commit: first, label: from },
          { commit: last, label: to! },
        ]),
    commitsOf(root, range, below, { beside: true }),
  ]);
  if (before!.files.size === 0 && after!.files.size === 0)
    throw new NoBook(
      `Neither version holds a .pour file${below ? ` in ${below}` : ''}. Name the folder of the book with --book.`,
    );
  return { before: before!, after: after!, commits: headsOf(commits) };
}

/** Loaded where a folder is read: two commits, the usual case, do without. */
const folderSource = () => import('./folder-source.ts');

const workingTree = async (folder: string): Promise<Source> =>
  (await folderSource()).sourceOfFolder(folder, 'the files as they are');

/** The closer look tells what is wrong with a name or the folder. */
async function resolved(folder: string, from: string, to: string | undefined) {
  const quick = await placeAndCommits(folder, to === undefined ? [from] : [from, to]);
  if (quick) return { root: quick.root, below: quick.below, named: quick.commits[0]!, last: quick.commits[1] };
  const [{ root, below }, named, last] = await allInOrder([
    repositoryOf(folder),
    commitOf(folder, from),
    to === undefined ? Promise.resolve(undefined) : commitOf(folder, to),
  ]);
  return { root, below, named, last };
}

/** The commits that changed the book itself. */
const headsOf = (commits: readonly Commit[]): CommitHead[] =>
  commits
    .filter(({ changes }) => changes.some(({ path }) => path.endsWith('.pour') || path === LOCK_NAME))
    .map(({ hash, author, date, subject }) => ({ hash, author, date, subject }));

/** All at once; of several that fail the first in the list is told, whichever was the quickest. */
async function allInOrder<T extends readonly Promise<unknown>[]>(
  all: readonly [...T],
): Promise<{ -readonly [K in keyof T]: Awaited<T[K]> }> {
  await Promise.allSettled(all);
  return Promise.all(all);
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

/** Asked at once, so that git is at work before the rest of the program is loaded. */
function isFolder(path: string): boolean {
  try {
    return statSync(path).isDirectory();
  } catch {
    return false;
  }
}
