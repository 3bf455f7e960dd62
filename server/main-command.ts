/** The command line's entry point. */
import { run } from './command/program.ts';

run(process.argv.slice(2), {
  out: (text) => process.stdout.write(`${text}\n`),
  err: (text) => process.stderr.write(`${text}\n`),
  folder: process.cwd(),
  serve: async () => {
    await import('./main-node.ts');
  },
  exitCode: 0,
}).then((exitCode) => {
  process.exitCode = exitCode;
});
