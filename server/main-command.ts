/** The command line's entry point. */
import { run } from './command/program.ts';

const exitCode = await run(process.argv.slice(2), {
  out: (text) => process.stdout.write(`${text}\n`),
  err: (text) => process.stderr.write(`${text}\n`),
  folder: process.cwd(),
  exitCode: 0,
});
process.exitCode = exitCode;
