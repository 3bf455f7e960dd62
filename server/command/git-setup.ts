import { readFile, rm, writeFile } from 'node:fs/promises';
import { join, relative, resolve } from 'node:path';
import { createInterface } from 'node:readline/promises';
import { Command } from 'commander';
import { git, repositoryOf } from './git.ts';
import { GitProblem } from './git-process.ts';
import type { Output } from './verb.ts';

interface Options {
  readonly book: string;
  readonly undo?: boolean;
  readonly yes?: boolean;
  readonly command: string;
}

const ATTRIBUTES = [
  '# Written by pourbook git-setup; pourbook git-setup --undo takes it out.',
  '*.pour merge=pourbook diff=pourbook',
  'optics.lock merge=pourbook',
];

/** The head of the entry stands beside the place of each hunk. */
const HEADS = '^[[:alpha:]].*$';

const settings = (command: string): readonly (readonly [string, string])[] => [
  ['merge.pourbook.name', 'formula book, entry by entry'],
  ['merge.pourbook.driver', `${command} merge --marker-size=%L %O %A %B %P`],
  ['diff.pourbook.xfuncname', HEADS],
];

/** `pourbook git-setup`: git merges the book entry by entry, and its diffs name the entry. Asks first; --undo takes it back. */
export const gitSetupVerb = (output: Output) =>
  new Command('git-setup')
    .description('let git merge the book entry by entry and name the entry in its diffs')
    .option('--book <folder>', 'the folder of the book', '.')
    .option('--undo', 'take the settings out again')
    .option('--yes', 'do not ask')
    .option('--command <command>', 'how git calls pourbook', 'pourbook')
    .helpOption('--help', 'show what the verb does and its options')
    .action(async (options: Options) => {
      const folder = resolve(output.folder, options.book);
      await repositoryOf(folder);
      const file = join(folder, '.gitattributes');
      const shown = relative(output.folder, file);
      output.out(planOf(shown, options));
      if (!options.yes && !(await agreed())) throw new GitProblem('Nothing was changed.');
      if (options.undo) await takeOut(folder, file);
      else await putIn(folder, file, options.command);
      output.out(options.undo ? 'Taken out.' : `Done. Commit ${shown}; everyone else runs pourbook git-setup once.`);
    });

function planOf(file: string, { undo, command }: Options): string {
  if (undo)
    return `Takes these out of ${file}:\n  ${ATTRIBUTES.join('\n  ')}\nand the sections merge.pourbook and diff.pourbook out of the repository's git config.`;
  const lines = settings(command).map(([key, value]) => `  ${key} = ${value}`);
  return [
    `Writes into ${file}:`,
    ...ATTRIBUTES.map((line) => `  ${line}`),
    "and into the repository's git config:",
    ...lines,
  ].join('\n');
}

/** @throws GitProblem where nobody can be asked. */
async function agreed(): Promise<boolean> {
  if (!process.stdin.isTTY) throw new GitProblem('Nothing was changed, since nobody can be asked here: add --yes.');
  const ask = createInterface({ input: process.stdin, output: process.stdout });
  const answer = await ask.question('Go on? [y/N] ');
  ask.close();
  return /^y(es)?$/i.test(answer.trim());
}

async function putIn(folder: string, file: string, command: string): Promise<void> {
  const before = await readFile(file, 'utf8').catch(() => '');
  const there = new Set(before.split('\n').map((line) => line.trimEnd()));
  const missing = ATTRIBUTES.filter((line) => !there.has(line));
  if (missing.length > 0) {
    const gap = before === '' || before.endsWith('\n') ? '' : '\n';
    await writeFile(file, `${before}${gap}${missing.join('\n')}\n`);
  }
  for (const [key, value] of settings(command)) await git(folder, ['config', '--local', key, value]);
}

async function takeOut(folder: string, file: string): Promise<void> {
  const before = await readFile(file, 'utf8').catch(() => undefined);
  if (before !== undefined) {
    const after = before
      .split('\n')
      .filter((line) => !ATTRIBUTES.includes(line.trimEnd()))
      .join('\n');
    if (after.trim() === '') await rm(file);
    else if (after !== before) await writeFile(file, after);
  }
  // A section that is not there is no mistake.
  for (const section of ['merge.pourbook', 'diff.pourbook'])
    await git(folder, ['config', '--local', '--remove-section', section]).catch(() => undefined);
}
