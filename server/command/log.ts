/** The commits that changed files of the book, newest first, with the files that each changed against its first parent. */
import { git } from './git.ts';
import { GitProblem } from './git-process.ts';

export interface FileChange {
  readonly path: string;
  /** Git's object names; nothing where the file was not there. */
  readonly before: string | undefined;
  readonly after: string | undefined;
}

export interface Commit {
  readonly hash: string;
  readonly parents: readonly string[];
  readonly author: string;
  /** ISO 8601, as the author's clock showed it. */
  readonly date: string;
  readonly subject: string;
  readonly changes: readonly FileChange[];
}

export interface Along {
  /** Of a merge follow the branch that was merged into. */
  readonly firstParent?: boolean;
  /** Commits of other files of the book's folder, too: optics.lock, and what readings name. */
  readonly beside?: boolean;
}

const FORMAT = '%x01%H%x00%P%x00%an%x00%aI%x00%s%x00';

/** `from` is a resolved commit, or two of them with two points between. A shallow clone ends where it was cut off. */
export async function commitsOf(
  root: string,
  from: string,
  below: string,
  { firstParent = false, beside = false }: Along = {},
): Promise<Commit[]> {
  const args = [
    'log',
    '-z',
    '--raw',
    '--no-renames',
    '--no-abbrev',
    '--diff-merges=first-parent',
    '--topo-order',
    `--format=${FORMAT}`,
  ];
  const out = await git(root, [
    ...args,
    ...(firstParent ? ['--first-parent'] : []),
    from,
    '--',
    `:(top,glob)${below}${beside ? '**' : '**/*.pour'}`,
  ]);
  return out
    .toString()
    .split('\u0001')
    .slice(1)
    .map((text) => commit(text, below));
}

function commit(text: string, below: string): Commit {
  const [hash, parents, author, date, subject, ...raw] = text.split('\0');
  if (!hash || parents === undefined) throw new GitProblem('git log wrote something that cannot be read.');
  return {
    hash,
    parents: parents.split(' ').filter(Boolean),
    author: author ?? '',
    date: date ?? '',
    subject: subject ?? '',
    changes: changesIn(raw, below),
  };
}

/** `:100644 100644 OLD NEW M`, then the path, each ended by a NUL. */
function changesIn(raw: readonly string[], below: string): FileChange[] {
  const found: FileChange[] = [];
  for (let at = 0; at < raw.length; at++) {
    const [, oldMode, newMode, before, after] = /^\s*:(\d+) (\d+) ([0-9a-f]+) ([0-9a-f]+) /.exec(raw[at]!) ?? [];
    if (oldMode === undefined) continue;
    const path = raw[++at] ?? '';
    const isFile = (mode: string | undefined) => mode?.startsWith('100');
    found.push({
      path: path.slice(below.length),
      before: isFile(oldMode) ? before : undefined,
      after: isFile(newMode) ? after : undefined,
    });
  }
  return found;
}
