/** How git is started, and what its failures are called. */
import type { ExecFileException } from 'node:child_process';

/** Git cannot do what is asked; the message says why and what to do. */
export class GitProblem extends Error {}

/** Git's words in English, and never a question. */
export const environment = (): NodeJS.ProcessEnv => ({
  ...process.env,
  LC_ALL: 'C',
  GIT_TERMINAL_PROMPT: '0',
  GIT_PAGER: '',
});

/** @param stderr what git wrote before it failed. */
export function problem(error: ExecFileException, stderr: string): GitProblem {
  if (error.code === 'ENOENT')
    return new GitProblem('git was not found. Install git, or review two folders: pourbook review OLD NEW');
  const said = stderr.trim().split('\n')[0] ?? '';
  if (/not a git repository/i.test(said))
    return new GitProblem('This folder lies in no git repository. Review two folders instead: pourbook review OLD NEW');
  if (/dubious ownership/i.test(said)) return new GitProblem(`git refuses this repository: ${said}`);
  return new GitProblem(`git: ${said || error.message}`);
}
