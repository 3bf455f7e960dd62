import { execFileSync } from 'node:child_process';

/** Makes a git repository of a folder, with everything in it as its first commit. */
export function commitAll(folder: string): void {
  const git = (...args: string[]) =>
    execFileSync('git', ['-c', 'user.name=Reviewer', '-c', 'user.email=reviewer@example.org', ...args], {
      cwd: folder,
      stdio: ['ignore', 'ignore', 'inherit'],
    });
  git('init', '--quiet', '--initial-branch=main');
  git('add', '--all');
  git('commit', '--quiet', '--message=The book as it was');
}
