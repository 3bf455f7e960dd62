/** The command line: every verb in a file of its own, errors told in a sentence. */
import { Command, CommanderError } from 'commander';
import { Unanswerable } from '../book/unanswerable.ts';
import { diskProblem } from './disk-problem.ts';
import { GitProblem } from './git-process.ts';
import { NoBook } from './no-book.ts';
import type { ExitCode, Output } from './verb.ts';

/** Each verb's part of the program is loaded when the verb is asked for: all of them take several times as long. */
const VERBS: Readonly<Record<string, () => Promise<(output: Output) => Command>>> = {
  check: async () => (await import('./check.ts')).checkVerb,
  format: async () => (await import('./format.ts')).formatVerb,
  show: async () => (await import('./show.ts')).showVerb,
  compare: async () => (await import('./compare.ts')).compareVerb,
  match: async () => (await import('./match.ts')).matchVerb,
  mix: async () => (await import('./mix.ts')).mixVerb,
  fit: async () => (await import('./fit.ts')).fitVerb,
  formulate: async () => (await import('./formulate.ts')).formulateVerb,
  correct: async () => (await import('./correct.ts')).correctVerb,
  import: async () => (await import('./import.ts')).importVerb,
  why: async () => (await import('./why.ts')).whyVerb,
  review: async () => (await import('./review.ts')).reviewVerb,
  history: async () => (await import('./history.ts')).historyVerb,
  bisect: async () => (await import('./bisect.ts')).bisectVerb,
  merge: async () => (await import('./merge.ts')).mergeVerb,
  'git-setup': async () => (await import('./git-setup.ts')).gitSetupVerb,
  serve: async () => (await import('./serve.ts')).serveVerb,
};

/** Runs one command line (without `node` and the script). */
export async function run(args: readonly string[], output: Output): Promise<ExitCode> {
  const program = new Command('pourbook')
    .description('Paint formulas as plain text: checked, scaled, coloured.')
    .helpOption('--help', 'show the verbs')
    .helpCommand(false);
  for (const make of await asked(args[0])) program.addCommand(make(output));
  for (const one of [program, ...program.commands])
    one.exitOverride().configureOutput({
      writeOut: (text) => output.out(text.trimEnd()),
      writeErr: (text) => output.err(text.trimEnd()),
    });
  try {
    await program.parseAsync(args, { from: 'user' });
    return output.exitCode;
  } catch (error) {
    if (error instanceof CommanderError) return error.exitCode === 0 ? 0 : 2;
    const told = error instanceof Unanswerable || error instanceof NoBook || error instanceof GitProblem;
    output.err(
      told
        ? error.message
        : (diskProblem(error) ??
            `Something went wrong inside pourbook: ${error instanceof Error ? (error.stack ?? error.message) : String(error)}`),
    );
    return 2;
  }
}

/** All verbs where help or a misspelt verb asks for their list. */
function asked(first: string | undefined): Promise<((output: Output) => Command)[]> {
  const names = first !== undefined && Object.hasOwn(VERBS, first) ? [first] : Object.keys(VERBS);
  return Promise.all(names.map((name) => VERBS[name]!()));
}
