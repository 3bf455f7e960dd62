import { resolve } from 'node:path';
import { Unanswerable } from '../answers/subject.ts';
import { shortHash } from '../report/review-facts.ts';
import { sentence } from '../report/text/figures.ts';
import { type Held, holdsIn } from '../review/holds.ts';
import type { CommitHead, Source } from '../review/source.ts';
import { openEntry } from '../review/versions.ts';
import { boundary } from './bisect-search.ts';
import { EarlierNames } from './earlier-names.ts';
import { commitOf, repositoryOf, sourceOfTree } from './git.ts';
import { type Commit, commitsOf } from './log.ts';
import { answer, type CommonOptions, type Output, verb } from './verb.ts';

interface Options extends CommonOptions {
  readonly from: string;
}

export interface BisectAnswer {
  readonly id: string;
  readonly expect: string;
  /** The commit after which it did not hold any more; null where no commit is found in which it held. */
  readonly commit: CommitHead | null;
  /** What the formula was called in that commit. */
  readonly called: string;
  /** The merges through which the commit came in, the last one first. */
  readonly merges: readonly CommitHead[];
  /** What the expectation finds in that commit. */
  readonly told: string;
  readonly lookedAt: number;
}

/** `pourbook bisect ID "expect …"`: the commit after which a stated fact stopped holding. */
export const bisectVerb = (output: Output) =>
  verb('bisect', 'find the commit after which an expectation stopped holding')
    .argument('<id>', 'the id of a formula or variant')
    .argument('<expect...>', 'the line, such as: expect sprayout worst <= 1.0 dE00')
    .option('--from <commit>', 'a commit in which it does not hold', 'HEAD')
    .action(async (id: string, words: string[], options: Options) => {
      const line = words.join(' ').trim().replace(/\s+/g, ' ');
      const expect = line.startsWith('expect ') ? line : `expect ${line}`;
      const folder = resolve(output.folder, options.book);
      const { root, below } = await repositoryOf(folder);
      const from = await commitOf(folder, options.from);
      const found = await bisect(root, below, from, id.normalize('NFC'), expect);
      answer(output, options, found, bisectText);
      if (!found.commit) output.exitCode = 1;
    });

async function bisect(root: string, below: string, from: string, id: string, expect: string): Promise<BisectAnswer> {
  const looked = new Set<string>();
  const line = (commits: readonly Commit[], name: string) => lineOf(root, below, commits, name, expect, looked);
  let commits: readonly Commit[] = await commitsOf(root, from, below, { firstParent: true, beside: true });
  let along = line(commits, id);
  const newest = commits.length > 0 ? await along.look(0) : undefined;
  if (newest?.is !== 'fails')
    throw new Unanswerable(
      newest?.is === 'holds'
        ? `'${expect}' holds for ${id}: there is nothing to look for.`
        : `'${expect}' cannot be told for ${id}: ${newest?.told ?? 'no commit holds a book'}`,
    );
  let { bad, found } = await boundary(commits.length, along.holds);
  if (!found) return { id, expect, commit: null, called: id, merges: [], told: newest.told, lookedAt: looked.size };
  const merges: CommitHead[] = [];
  for (;;) {
    const commit = commits[bad]!;
    const { told } = await along.look(bad);
    const called = (await along.name(bad)) ?? id;
    const side = await sideOf(root, below, commit, (branch) => line(branch, called));
    if (!side) return { id, expect, commit: head(commit), called, merges, told, lookedAt: looked.size };
    merges.push(head(commit));
    ({ commits, along } = side);
    ({ bad, found } = await boundary(commits.length, along.holds));
  }
}

interface Line {
  readonly look: (index: number) => Promise<Held>;
  readonly holds: (index: number) => Promise<boolean>;
  readonly name: (index: number) => Promise<string | undefined>;
}

/** A line of commits, newest first, in the newest of which the formula has this name. */
function lineOf(
  root: string,
  below: string,
  commits: readonly Commit[],
  name: string,
  expect: string,
  looked: Set<string>,
): Line {
  const sources = new Map<number, Promise<Source>>();
  const held = new Map<number, Promise<Held>>();
  const kept = <T>(all: Map<number, Promise<T>>, index: number, make: () => Promise<T>): Promise<T> => {
    const one = all.get(index) ?? make();
    all.set(index, one);
    return one;
  };
  const versionAt = (index: number) =>
    kept(sources, index, () => sourceOfTree(root, below, commits[index]!.hash, commits[index]!.hash));
  const names = new EarlierNames(versionAt, name);
  const look = (index: number) =>
    kept(held, index, async () => {
      looked.add(commits[index]!.hash);
      const called = await names.at(index);
      if (called === undefined) return { is: 'missing', told: `there is no formula ${name} in it` } as const;
      return holdsIn(await openEntry(await versionAt(index), called), called, expect);
    });
  return {
    look,
    holds: async (index) => (await look(index)).is === 'holds',
    name: (index) => names.at(index),
  };
}

/** The branch by which a merge brought it in: the one on whose end it does not hold either. Nothing where the merge itself did it. */
async function sideOf(
  root: string,
  below: string,
  { parents }: Commit,
  line: (commits: readonly Commit[]) => Line,
): Promise<{ readonly commits: readonly Commit[]; readonly along: Line } | undefined> {
  const [first, ...others] = parents;
  for (const parent of others) {
    const commits = await commitsOf(root, `${first}..${parent}`, below, { firstParent: true, beside: true });
    if (commits.length === 0) continue;
    const along = line(commits);
    if ((await along.look(0)).is === 'fails') return { commits, along };
  }
  return undefined;
}

const head = ({ hash, author, date, subject }: Commit): CommitHead => ({ hash, author, date, subject });

const headText = ({ hash, date, author, subject }: CommitHead): string =>
  `${shortHash(hash)}  ${date.slice(0, 16).replace('T', ' ')}  ${author}: ${subject}`;

function bisectText({ id, expect, commit, called, merges, told, lookedAt }: BisectAnswer): string {
  const looked = `${lookedAt} ${lookedAt === 1 ? 'commit' : 'commits'} looked at`;
  if (!commit)
    return `"${expect}" held for ${id} in no commit that can be seen from here (${looked}). ${sentence(told)}`.trim();
  return [
    `"${expect}" stopped holding for ${id}${called === id ? '' : `, then called ${called},`} with`,
    headText(commit),
    ...merges.map((merge) => `which came in with the merge ${headText(merge)}`),
    `${sentence(told)} ${sentence(looked)}`.trim(),
  ].join('\n');
}
