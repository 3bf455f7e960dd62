/** The command line: every verb in a file of its own, errors told in a sentence. */
import { Command, CommanderError } from 'commander';
import { Unanswerable } from '../answers/subject.ts';
import { bisectVerb } from './bisect.ts';
import { checkVerb } from './check.ts';
import { compareVerb } from './compare.ts';
import { correctVerb } from './correct.ts';
import { fitVerb } from './fit.ts';
import { formatVerb } from './format.ts';
import { formulateVerb } from './formulate.ts';
import { GitProblem } from './git.ts';
import { gitSetupVerb } from './git-setup.ts';
import { historyVerb } from './history.ts';
import { importVerb } from './import.ts';
import { NoBook } from './load.ts';
import { matchVerb } from './match.ts';
import { mergeVerb } from './merge.ts';
import { mixVerb } from './mix.ts';
import { reviewVerb } from './review.ts';
import { serveVerb } from './serve.ts';
import { showVerb } from './show.ts';
import type { ExitCode, Output } from './verb.ts';
import { whyVerb } from './why.ts';

const VERBS = [
  checkVerb,
  formatVerb,
  showVerb,
  compareVerb,
  matchVerb,
  mixVerb,
  fitVerb,
  formulateVerb,
  correctVerb,
  importVerb,
  whyVerb,
  reviewVerb,
  historyVerb,
  bisectVerb,
  mergeVerb,
  gitSetupVerb,
  serveVerb,
];

/** Runs one command line (without `node` and the script). */
export async function run(args: readonly string[], output: Output): Promise<ExitCode> {
  const program = new Command('pourbook')
    .description('Paint formulas as plain text: checked, scaled, coloured.')
    .helpOption('--help', 'show the verbs')
    .helpCommand(false);
  for (const make of VERBS) program.addCommand(make(output));
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
    output.err(
      error instanceof Unanswerable || error instanceof NoBook || error instanceof GitProblem
        ? error.message
        : `Something went wrong inside pourbook: ${error instanceof Error ? (error.stack ?? error.message) : String(error)}`,
    );
    return 2;
  }
}
