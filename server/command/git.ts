/**
 * Git by its plumbing, without a shell and without a check-out. Names that a person gives are resolved first and never reach git where
 * they could be read as options.
 */
import { isAscii } from 'node:buffer';
import { execFile } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { resolve } from 'node:path';
import { decodeBook } from '../book/decode.ts';
import { isPassedOver } from '../book/folders.ts';
import type { Source, SourceBytes, SourceFile } from '../review/source.ts';
import { Objects, type TreeEntry, treeEntries } from './git-objects.ts';
import { environment, GitProblem, problem } from './git-process.ts';

const MOST_OUTPUT = 1 << 30;

/** Runs git in a folder; returns what it wrote. @throws GitProblem with git's own words. */
export function git(folder: string, args: readonly string[], input?: string): Promise<Buffer> {
  return new Promise((done, reject) => {
    const options = { cwd: folder, encoding: 'buffer' as const, maxBuffer: MOST_OUTPUT, env: environment() };
    const child = execFile('git', ['--no-optional-locks', ...args], options, (error, stdout, stderr) => {
      if (error) reject(problem(error, stderr.toString()));
      else done(stdout);
    });
    child.stdin?.on('error', () => {});
    child.stdin?.end(input ?? '');
  });
}

const text = async (folder: string, args: readonly string[]): Promise<string> =>
  (await git(folder, args)).toString().trim();

/** The root of the repository, and the path of the folder below it (empty at the root, else with a stroke behind). */
export async function repositoryOf(folder: string): Promise<{ readonly root: string; readonly below: string }> {
  const [root, below] = (await text(folder, ['rev-parse', '--show-toplevel', '--show-prefix'])).split('\n');
  return { root: root!, below: below ?? '' };
}

/** The commit that a name stands for. @throws GitProblem that says what the name might have been meant for. */
export async function commitOf(folder: string, name: string): Promise<string> {
  if (name === '' || name.startsWith('-') || /[\0\s]/.test(name))
    throw new GitProblem(
      `'${name}' is no name of a commit. Write a branch, a tag or a commit, such as main or HEAD~1.`,
    );
  try {
    return await text(folder, ['rev-parse', '--verify', '--quiet', '--end-of-options', `${name}^{commit}`]);
  } catch {
    if (!(await hasCommits(folder)))
      throw new GitProblem('There is no commit yet in this repository, so nothing to compare with.');
    const shallow = (await text(folder, ['rev-parse', '--is-shallow-repository'])) === 'true';
    const why = shallow ? ' The clone is shallow: fetch more of its history with git fetch --unshallow.' : '';
    throw new GitProblem(`There is no commit '${name}' in this repository.${why}`);
  }
}

/** Commits at which a shallow clone was cut off: git shows them without parents, as if all that they hold came with them. */
export async function shallowEnds(root: string): Promise<ReadonlySet<string>> {
  const path = await text(root, ['rev-parse', '--git-path', 'shallow']);
  return new Set(textIfAny(resolve(root, path)).split('\n').filter(Boolean));
}

function textIfAny(path: string): string {
  try {
    return readFileSync(path, 'utf8');
  } catch {
    return '';
  }
}

/** Where the folder lies and what the names stand for, by one process; nothing where any of it needs a closer look. */
export async function placeAndCommits(
  folder: string,
  names: readonly string[],
): Promise<{ readonly root: string; readonly below: string; readonly commits: readonly string[] } | undefined> {
  if (!names.every((name) => /^[\w./~@{}-]+$/.test(name) && !name.startsWith('-'))) return undefined;
  const args = ['rev-parse', '--show-toplevel', '--show-prefix', ...names.map((name) => `${name}^{commit}`)];
  const lines = await text(folder, args).then(
    (said) => said.split('\n'),
    () => [],
  );
  const [root, below, ...commits] = lines;
  const all = commits.length === names.length && commits.every((commit) => /^[0-9a-f]{40,64}$/.test(commit));
  return all ? { root: root!, below: below!, commits } : undefined;
}

export async function hasCommits(folder: string): Promise<boolean> {
  return git(folder, ['rev-parse', '--verify', '--quiet', 'HEAD']).then(
    () => true,
    () => false,
  );
}

export async function mergeBase(folder: string, a: string, b: string): Promise<string> {
  try {
    return await text(folder, ['merge-base', a, b]);
  } catch {
    throw new GitProblem(
      'The two commits have no common ancestor here. In a shallow clone fetch more: git fetch --unshallow',
    );
  }
}

interface TreeFile {
  readonly id: string;
  /** Below the folder of the book. */
  readonly path: string;
}

/** The files of a book in a commit, in git's order; submodules and links are passed over. @param below ends in a stroke, or is empty. */
async function treeOf(objects: Objects, commit: string, below: string): Promise<TreeFile[]> {
  const found: TreeFile[] = [];
  let at = `${commit}^{tree}`;
  for (const folder of below.split('/').slice(0, -1)) {
    const inner = (await entriesOf(objects, at)).find(({ mode, name }) => mode === FOLDER && name === folder);
    if (!inner) return [];
    at = inner.id;
  }
  await collect(objects, at, '', found);
  return found;
}

const FOLDER = '40000';
const FILE = /^100/;

async function entriesOf(objects: Objects, name: string): Promise<TreeEntry[]> {
  const entries = await objects.read(name, treeEntries);
  if (!entries) throw new GitProblem('A folder of this version is not in this clone. Fetch it with git fetch.');
  return entries;
}

async function collect(objects: Objects, id: string, path: string, found: TreeFile[]): Promise<void> {
  for (const entry of await entriesOf(objects, id)) {
    if (FILE.test(entry.mode)) found.push({ id: entry.id, path: path + entry.name });
    else if (entry.mode === FOLDER && !isPassedOver(entry.name))
      await collect(objects, entry.id, `${path}${entry.name}/`, found);
  }
}

/** Many objects by one process. Those that are not there (a partial clone) are left out. */
export async function blobs(root: string, ids: Iterable<string>): Promise<Map<string, Buffer>> {
  const wanted = [...new Set(ids)];
  const found = new Map<string, Buffer>();
  if (wanted.length > 0)
    await reading(root, (objects) =>
      Promise.all(wanted.map((id) => objects.read(id, ({ bytes }) => found.set(id, Buffer.from(bytes))))),
    );
  return found;
}

async function reading<T>(root: string, read: (objects: Objects) => Promise<T>): Promise<T> {
  const objects = new Objects(root);
  try {
    return await read(objects);
  } finally {
    objects.close();
  }
}

/** A commit and how a person calls it. */
export interface Named {
  readonly commit: string;
  readonly label: string;
}

/** Texts that another version already holds are not read again. */
export async function sourceOfTree(
  root: string,
  below: string,
  commit: string,
  label: string,
  known?: Source,
): Promise<Source> {
  return (await sourcesOfTrees(root, below, [{ commit, label }], known))[0]!;
}

/** Several versions at once; what they share is read once. */
export async function sourcesOfTrees(
  root: string,
  below: string,
  versions: readonly Named[],
  known?: Source,
): Promise<Source[]> {
  const texts = new Map([...(known?.files.values() ?? [])].map((file) => [file.id, file]));
  const trees = await reading(root, async (objects) => {
    const all = await Promise.all(versions.map(({ commit }) => treeOf(objects, commit, below)));
    const lacking = all.flat().filter(({ id, path }) => path.endsWith('.pour') && !texts.has(id));
    const ids = [...new Set(lacking.map(({ id }) => id))];
    await Promise.all(ids.map((id) => objects.read(id, ({ bytes }) => texts.set(id, { id, text: textOf(bytes) }))));
    return all;
  });
  return versions.map((version, index) => sourceOf(root, version, trees[index]!, texts));
}

/** Most books are plain ASCII, which need not be decoded. */
const textOf = (bytes: Buffer): string => (isAscii(bytes) ? bytes.toString('latin1') : decodeBook(bytes));

function sourceOf(
  root: string,
  { commit, label }: Named,
  tree: readonly TreeFile[],
  texts: ReadonlyMap<string, SourceFile>,
): Source {
  const files = new Map<string, SourceFile>();
  const beside = new Map<string, SourceBytes>();
  for (const { id, path } of tree) {
    if (!path.endsWith('.pour')) {
      beside.set(path, { id, read: async () => (await blobs(root, [id])).get(id) });
      continue;
    }
    const file = texts.get(id);
    if (!file) throw new GitProblem(`The file ${path} of ${label} is not in this clone. Fetch it with git fetch.`);
    files.set(path, file);
  }
  return { label, commit, files, beside };
}
