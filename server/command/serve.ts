import { Command } from 'commander';
import type { Output } from './verb.ts';

/** `pourbook serve --stdio`: the language server, for any editor that speaks the protocol. */
export const serveVerb = (output: Output) =>
  new Command('serve')
    .description('run the language server for an editor, over standard input and output')
    .option('--stdio', 'talk over standard input and output (the only way)')
    .helpOption('--help', 'show what the verb does and its options')
    .action(() => output.serve());
