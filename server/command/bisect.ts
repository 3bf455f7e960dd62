import { resolve } from 'node:path';
import { Unanswerable } from '../answers/subject.ts';
import { sentence } from '../report/text/figures.ts';
import { type Held, holdsIn } from '../review/holds.ts';
import { openEntry } from '../review/versions.ts';
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
  readonly commit: {
    readonly hash: string;
    readonly author: string;
    readonly date: string;
    readonly subject: string;
  } | null;
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
      const commits = await commitsOf(root, from, below, true);
      const found = await search(commits, id, expect, async ({ hash }) =>
        holdsIn(await openEntry(await sourceOfTree(root, below, hash, hash), id), id, expect),
      );
      answer(output, options, found, bisectText);
      if (!found.commit) output.exitCode = 1;
    });

/** Along the first parents: back in growing steps to a commit in which it holds, then halving what lies between. */
async function search(
  commits: readonly Commit[],
  id: string,
  expect: string,
  look: (commit: Commit) => Promise<Held>,
): Promise<BisectAnswer> {
  const seen = new Map<number, Held>();
  const at = async (index: number): Promise<Held> => {
    const known = seen.get(index) ?? (await look(commits[index]!));
    seen.set(index, known);
    return known;
  };
  const newest = commits.length > 0 ? await at(0) : undefined;
  if (newest?.is !== 'fails')
    throw new Unanswerable(
      newest?.is === 'holds'
        ? `'${expect}' holds for ${id}: there is nothing to look for.`
        : `'${expect}' cannot be told for ${id}: ${newest?.told ?? 'no commit holds a book'}`,
    );
  let bad = 0;
  let good = -1;
  for (let step = 1; bad < commits.length - 1; step *= 2) {
    const index = Math.min(commits.length - 1, bad + step);
    const { is } = await at(index);
    if (is === 'holds') {
      good = index;
      break;
    }
    bad = index;
  }
  if (good < 0) return { id, expect, commit: null, told: newest.told, lookedAt: seen.size };
  // Where it cannot be told it does not hold either: the commit after the last one in which it held is wanted.
  while (good - bad > 1) {
    const middle = (good + bad) >> 1;
    if ((await at(middle)).is === 'holds') good = middle;
    else bad = middle;
  }
  const { hash, author, date, subject } = commits[bad]!;
  return { id, expect, commit: { hash, author, date, subject }, told: (await at(bad)).told, lookedAt: seen.size };
}

function bisectText({ id, expect, commit, told, lookedAt }: BisectAnswer): string {
  const looked = `${lookedAt} ${lookedAt === 1 ? 'commit' : 'commits'} looked at`;
  if (!commit)
    return `"${expect}" held for ${id} in no commit that can be seen from here (${looked}). ${sentence(told)}`.trim();
  return [
    `"${expect}" stopped holding for ${id} with`,
    `${commit.hash.slice(0, 10)}  ${commit.date.slice(0, 16).replace('T', ' ')}  ${commit.author}: ${commit.subject}`,
    `${sentence(told)} ${sentence(looked)}`.trim(),
  ].join('\n');
}
