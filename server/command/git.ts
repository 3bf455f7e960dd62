/**
 * Git by its plumbing, without a shell and without a check-out. Names that a person gives are resolved first and never reach git where
 * they could be read as options.
 */
import { isAscii } from 'node:buffer';
import { type ExecFileException, execFile, spawn } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { resolve } from 'node:path';
import { decodeBook } from '../book/decode.ts';
import { isPassedOver } from '../book/folders.ts';
import type { Source, SourceBytes, SourceFile } from '../review/source.ts';

/** Git cannot do what is asked; the message says why and what to do. */
export class GitProblem extends Error {}

const MOST_OUTPUT = 1 << 30;

/** Runs git in a folder; returns what it wrote. @throws GitProblem with git's own words. */
export function git(folder: string, args: readonly string[], input?: string): Promise<Buffer> {
  return new Promise((done, reject) => {
    const options = { cwd: folder, encoding: 'buffer' as const, maxBuffer: MOST_OUTPUT, env: environment() };
    const child = execFile('git', ['--no-optional-locks', ...args], options, (error, stdout, stderr) => {
      if (error) reject(new GitProblem(problem(error, stderr)));
      else done(stdout);
    });
    child.stdin?.on('error', () => {});
    child.stdin?.end(input ?? '');
  });
}

/** Git's words in English, and never a question. */
const environment = (): NodeJS.ProcessEnv => ({ ...process.env, LC_ALL: 'C', GIT_TERMINAL_PROMPT: '0', GIT_PAGER: '' });

function problem(error: ExecFileException, stderr: Buffer): string {
  if (error.code === 'ENOENT') return 'git was not found. Install git, or review two folders: pourbook review OLD NEW';
  const said = stderr.toString().trim().split('\n')[0] ?? '';
  if (/not a git repository/i.test(said))
    return 'This folder lies in no git repository. Review two folders instead: pourbook review OLD NEW';
  if (/dubious ownership/i.test(said)) return `git refuses this repository: ${said}`;
  return `git: ${said || error.message}`;
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

export interface TreeFile {
  readonly id: string;
  /** Below the folder of the book. */
  readonly path: string;
}

/** The files of a commit below a folder of the repository; submodules and links are passed over. */
export async function treeOf(root: string, commit: string, below: string): Promise<TreeFile[]> {
  const listed = (await git(root, ['ls-tree', '-rz', '--full-tree', commit])).toString();
  return listed.split('\0').flatMap((entry) => {
    const [, mode, type, id, path] = /^(\d+) (\w+) ([0-9a-f]+)\t([\s\S]*)$/.exec(entry) ?? [];
    if (type !== 'blob' || mode === '120000' || !path?.startsWith(below)) return [];
    return [{ id: id!, path: path.slice(below.length) }];
  });
}

/** Many objects by one process. Those that are not there (a partial clone) are left out. */
export async function blobs(root: string, ids: Iterable<string>): Promise<Map<string, Buffer>> {
  const found = new Map<string, Buffer>();
  await eachBlob(root, ids, (id, bytes) => found.set(id, Buffer.from(bytes)));
  return found;
}

/** The same one after the other as git writes them; the bytes of one hold until the next. */
function eachBlob(root: string, ids: Iterable<string>, take: (id: string, bytes: Buffer) => void): Promise<void> {
  const wanted = [...new Set(ids)];
  if (wanted.length === 0) return Promise.resolve();
  return new Promise((done, reject) => {
    const child = spawn('git', ['--no-optional-locks', 'cat-file', '--batch'], { cwd: root, env: environment() });
    const unpack = unpacking(take);
    child.stdout.on('data', unpack);
    child.on('error', (error: ExecFileException) => reject(new GitProblem(problem(error, Buffer.alloc(0)))));
    child.on('close', () => done());
    child.stdin.on('error', () => {});
    child.stdin.end(`${wanted.join('\n')}\n`);
  });
}

/** `ID blob SIZE`, a line end, the bytes, a line end; or `ID missing`. It comes in pieces. */
function unpacking(take: (id: string, bytes: Buffer) => void): (piece: Buffer) => void {
  let head = '';
  let room = Buffer.alloc(0);
  /** The object whose bytes are coming, with the line end behind it. */
  let object: { readonly id: string; readonly bytes: Buffer; filled: number } | undefined;
  return (piece) => {
    for (let at = 0; at < piece.length; ) {
      if (object) {
        const copied = piece.copy(object.bytes, object.filled, at);
        at += copied;
        object.filled += copied;
      } else {
        const end = piece.indexOf(LINE_END, at);
        head += piece.toString('latin1', at, end < 0 ? piece.length : end);
        at = end < 0 ? piece.length : end + 1;
        if (end < 0) break;
        const [id, , size] = head.split(' ');
        head = '';
        if (size === undefined) continue;
        const length = Number(size) + 1;
        // The same memory for all, since fresh memory takes as long as reading.
        if (room.length < length) room = Buffer.allocUnsafeSlow(length);
        object = { id: id!, bytes: room.subarray(0, length), filled: 0 };
      }
      if (!object || object.filled < object.bytes.length) continue;
      take(object.id, object.bytes.subarray(0, -1));
      object = undefined;
    }
  };
}

const LINE_END = 0x0a;

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
  const trees = await Promise.all(versions.map(({ commit }) => treeOf(root, commit, below)));
  const texts = new Map([...(known?.files.values() ?? [])].map((file) => [file.id, file]));
  const lacking = trees.flat().filter(({ id, path }) => isOfBook(path) && path.endsWith('.pour') && !texts.has(id));
  await eachBlob(
    root,
    lacking.map(({ id }) => id),
    (id, bytes) => texts.set(id, { id, text: isAscii(bytes) ? bytes.toString('latin1') : decodeBook(bytes) }),
  );
  return versions.map((version, index) => sourceOf(root, version, trees[index]!, texts));
}

function sourceOf(
  root: string,
  { commit, label }: Named,
  tree: readonly TreeFile[],
  texts: ReadonlyMap<string, SourceFile>,
): Source {
  const files = new Map<string, SourceFile>();
  const beside = new Map<string, SourceBytes>();
  for (const { id, path } of tree) {
    if (!isOfBook(path)) continue;
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

/** As when a folder is read. */
const isOfBook = (path: string): boolean => !path.split('/').slice(0, -1).some(isPassedOver);
