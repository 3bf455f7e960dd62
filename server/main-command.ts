/** The command line's entry point. */
import { run } from './command/program.ts';

// A reader that has seen enough, such as `pourbook check | head`, is no failure.
for (const stream of [process.stdout, process.stderr])
  stream.on('error', (error: NodeJS.ErrnoException) => {
    if (error.code !== 'EPIPE') throw error;
    process.exit();
  });

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
