/** Real git repositories of their own, with commits of an invented person. */
import { execFileSync } from 'node:child_process';
import { mkdir, rm, writeFile } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import { folderOf } from './shop.ts';

const AS = [
  '-c',
  'user.name=Rosa Ore',
  '-c',
  'user.email=rosa@saltmarsh.example',
  '-c',
  'commit.gpgsign=false',
  '-c',
  'core.autocrlf=false',
];

export interface Repository {
  readonly folder: string;
  /** Runs git; returns what it wrote. */
  readonly git: (...args: string[]) => string;
  readonly write: (path: string, text: string | null) => Promise<void>;
  /** Writes files (null takes one out) and commits everything. */
  readonly commit: (subject: string, files: Readonly<Record<string, string | null>>) => Promise<string>;
}

export async function repository(files: Readonly<Record<string, string>> = {}): Promise<Repository> {
  const folder = await folderOf({});
  const git = gitIn(folder);
  git('init', '-q', '-b', 'main');
  const made = repositoryIn(folder);
  if (Object.keys(files).length > 0) await made.commit('first', files);
  return made;
}

export const gitIn =
  (folder: string) =>
  (...args: string[]): string =>
    execFileSync('git', [...AS, ...args], { cwd: folder, encoding: 'utf8', stdio: ['ignore', 'pipe', 'pipe'] }).trim();

export function repositoryIn(folder: string): Repository {
  const git = gitIn(folder);
  const write = async (path: string, text: string | null): Promise<void> => {
    const file = join(folder, path);
    if (text === null) return rm(file);
    await mkdir(dirname(file), { recursive: true });
    await writeFile(file, text);
  };
  return {
    folder,
    git,
    write,
    commit: async (subject, files) => {
      for (const [path, text] of Object.entries(files)) await write(path, text);
      git('add', '-A');
      git('commit', '-q', '--allow-empty', '-m', subject);
      return git('rev-parse', 'HEAD');
    },
  };
}
